// Any bytes at all as a clearance: read or refused with an Error, the same every time, every span within the text, and the
// plain words of what was read mean the same again.
#include "solotaxi/routing/clearance.hpp"

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "solotaxi/base/error.hpp"

namespace {

using namespace solotaxi;
using namespace solotaxi::routing;

[[noreturn]] void fail(const char* what, const std::string& text) {
  std::fprintf(stderr, "%s: \"%s\"\n", what, text.c_str());
  std::abort();
}

const Vocabulary& words() {
  static const Vocabulary vocabulary{.taxiways = {"1", "2", "12", "A", "A1", "A-2", "B", "B3", "C", "Cross Link", "F",
                                                  "Foxtrot", "O Inner", "Taxiway Zulu", "X", "Ж"},
                                     .runways = {"08", "18", "26R", "36"},
                                     .holds = {"A1", "A2", "C1", "Holding Bay"},
                                     .stands = {"12", "3", "A1", "Remote 4"}};
  return vocabulary;
}

struct Outcome {
  bool read = false;
  std::string plain, notes;
};

void check_span(const TextSpan& span, const std::string& text) {
  if (span.begin > span.end || span.end > text.size()) fail("a span outside the text", text);
}

Outcome read(const std::string& text) {
  Outcome out;
  try {
    const Clearance c = read_clearance(text, words());
    for (const auto& item : c.items) check_span(item.span, text);
    for (const auto& binding : c.bindings) check_span(binding.span, text);
    check_span(c.end.span, text);
    check_span(c.backtrack_span, text);
    if (c.items.size() > kClearanceItems || c.bindings.size() > kClearanceBindings) fail("over a limit", text);
    out = {true, to_text(c), ""};
    for (const auto& note : c.notes) out.notes += note + "\n";
  } catch (const Error& e) {
    if (e.message().empty()) fail("an error that says nothing", text);
    out = {false, e.one_line(), ""};
  }
  return out;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(data, data + size);
  const Outcome first = read(text), second = read(text);
  if (first.read != second.read || first.plain != second.plain || first.notes != second.notes)
    fail("read in two ways", text);
  if (!first.read) return 0;
  const Outcome again = read(first.plain);
  if (!again.read || again.plain != first.plain)
    fail(("plain words \"" + first.plain + "\" mean another thing").c_str(), text);
  return 0;
}
