#include "arguments.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <sstream>

#include "cli/options.hpp"

namespace solotaxi::python {

namespace py = pybind11;

namespace {

std::string option_of(std::string keyword) {
  if (keyword.ends_with('_')) keyword.pop_back();
  std::replace(keyword.begin(), keyword.end(), '_', '-');
  return "--" + keyword;
}

std::string keyword_of(const std::string& option) {
  std::string keyword = option.substr(2);
  std::replace(keyword.begin(), keyword.end(), '-', '_');
  return keyword == "from" ? "from_" : keyword;
}

/// A paragraph wrapped to Python's usual width.
std::string wrapped(const std::string& text, const std::string& first_indent, const std::string& indent) {
  constexpr std::size_t kColumns = 79;
  std::string out, line = first_indent;
  bool begun = false;
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    if (begun && line.size() + 1 + word.size() > kColumns) {
      out += line + '\n';
      line = indent + word;
    } else {
      line += (begun ? " " : "") + word;
    }
    begun = true;
  }
  return out + line;
}

}  // namespace

std::string text_of(const py::handle& value, const std::string& name) {
  if (py::isinstance<py::bool_>(value)) return value.cast<bool>() ? "on" : "off";
  if (py::isinstance<py::str>(value)) return value.cast<std::string>();
  if (py::isinstance<py::int_>(value) || py::isinstance<py::float_>(value)) return py::str(value).cast<std::string>();
  if (py::hasattr(value, "__fspath__")) return py::str(value.attr("__fspath__")()).cast<std::string>();
  if (py::hasattr(value, "item")) return text_of(value.attr("item")(), name);  // a number of numpy
  throw py::type_error(fmt::format("{}: a text, a number or a path is meant, not {}", name,
                                   py::str(py::type::of(value).attr("__name__")).cast<std::string>()));
}

void append_options(std::vector<std::string>& args, const py::kwargs& options, const std::vector<std::string>& kept) {
  for (const auto& [key, value] : options) {
    const std::string keyword = py::str(key).cast<std::string>(), option = option_of(keyword);
    if (std::find(kept.begin(), kept.end(), option) != kept.end())
      throw py::value_error(fmt::format("{}: not to be told here", keyword));
    if (value.is_none()) continue;
    const auto append = [&](const py::handle& one) {
      // One word, so that a value that begins with "-" is no option.
      args.push_back(option + "=" + text_of(one, keyword));
    };
    if (py::isinstance<py::list>(value) || py::isinstance<py::tuple>(value)) {
      for (const py::handle& one : value) append(one);
    } else {
      append(value);
    }
  }
}

std::vector<std::string> options_of(const std::string& command, const std::vector<std::string>& but) {
  cli::Options options;
  const auto app = cli::define_options(options, "");
  std::vector<std::string> names;
  for (const CLI::Option* option : app->get_subcommand(command)->get_options()) {
    if (!option->nonpositional()) continue;
    const std::string name = "--" + option->get_lnames().front();
    if (std::find(but.begin(), but.end(), name) == but.end()) names.push_back(name);
  }
  return names;
}

std::string doc_of(const std::string& command, const std::string& about, const std::vector<std::string>& kept) {
  cli::Options options;
  const auto app = cli::define_options(options, "");
  std::string out = wrapped(about, "", "") + "\n\nKeyword arguments:\n";
  for (const CLI::Option* option : app->get_subcommand(command)->get_options()) {
    if (!option->nonpositional() || option->get_lnames().front() == "help") continue;
    const std::string name = "--" + option->get_lnames().front();
    if (std::find(kept.begin(), kept.end(), name) != kept.end()) continue;
    out += wrapped(fmt::format("{}: {}{}", keyword_of(name), option->get_description(),
                               option->get_required() ? " (required)" : ""),
                   "  ", "      ") +
           '\n';
  }
  return out;
}

}  // namespace solotaxi::python
