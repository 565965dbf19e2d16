// From Python's keyword arguments to a command line: plan(queue=5, apu="off") is --queue 5 --apu off.
#pragma once

#include <pybind11/pybind11.h>

#include <string>
#include <vector>

namespace solotaxi::python {

/// Appends the options named. A trailing "_" is taken off (from_), other "_" are "-"; None is left out; lists and tuples repeat
/// the option; True and False are "on" and "off". Throws TypeError for anything but texts, numbers and paths; ValueError for
/// one of `kept`, options the caller sets itself.
void append_options(std::vector<std::string>& args, const pybind11::kwargs& options, const std::vector<std::string>& kept);

/// A text, a number, or a path.
[[nodiscard]] std::string text_of(const pybind11::handle& value, const std::string& name);

/// Names of a command's options, "--dem", without `but`.
[[nodiscard]] std::vector<std::string> options_of(const std::string& command, const std::vector<std::string>& but);

/// "What it is for.\n\nKeyword arguments:\n  queue: …" from the options of a command, without `kept`.
[[nodiscard]] std::string doc_of(const std::string& command, const std::string& about, const std::vector<std::string>& kept);

}  // namespace solotaxi::python
