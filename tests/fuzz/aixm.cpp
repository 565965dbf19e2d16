// Any bytes at all as an AIXM message, and as a digital NOTAM on a sound one: read or refused with an Error that says
// something and names the file, the same every time.
#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/map_file.hpp"

namespace {

using namespace solotaxi;
namespace fs = std::filesystem;

[[noreturn]] void fail(const char* what, const std::string& text) {
  std::fprintf(stderr, "%s: \"%.2000s\"\n", what, text.c_str());
  std::abort();
}

/// Where the bytes are put; goes with the process.
struct Place {
  fs::path file = fs::temp_directory_path() / ("solotaxi-fuzz-" + std::to_string(::getpid()) + ".xml");
  Place() = default;
  ~Place() {
    std::error_code ignored;
    fs::remove(file, ignored);
  }
  Place(const Place&) = delete;
  Place& operator=(const Place&) = delete;
};

std::string findings_of(const airfield::RawMap& map) {
  std::string out = std::to_string(map.features.size()) + "\n";
  for (const Finding& f : map.findings) out += f.code + " " + f.where.id + " " + f.text + "\n";
  return out;
}

/// What reading gives, in words.
std::string read(const fs::path& map, const io::MapOptions& options, const std::string& text) {
  try {
    const airfield::RawMap raw = io::read_map(map, options);
    std::string out = findings_of(raw);
    if (options.notams.empty()) out += std::to_string(airfield::interpret(raw).centrelines.size());
    return out;
  } catch (const Error& error) {
    if (error.message().empty()) fail("an error that says nothing", text);
    if (error.where().file.empty() && error.error_class() == ErrorClass::data) fail("an error without a file", text);
    return error.one_line();
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const Place place;
  const std::string text(data, data + size);
  std::ofstream(place.file, std::ios::binary | std::ios::trunc) << text;
  if (read(place.file, {}, text) != read(place.file, {}, text)) fail("read in two ways as a map", text);
  io::MapOptions options;
  options.at = parse_instant("2026-02-03T09:00Z");
  options.notams = {place.file};
  const fs::path sound = SOLOTAXI_TEST_DATA "/aixm/field.xml";
  if (read(sound, options, text) != read(sound, options, text)) fail("read in two ways as a NOTAM", text);
  return 0;
}
