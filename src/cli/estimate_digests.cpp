#include "estimate_digests.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <zlib.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "build_facts.hpp"
#include "solotaxi/aircraft/keys.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/aircraft_file.hpp"

namespace solotaxi::cli {
namespace {

namespace fs = std::filesystem;

/// CRC-32 and length.
class Digest {
 public:
  void add(const char* bytes, std::size_t count) {
    crc_ = ::crc32_z(crc_, reinterpret_cast<const Bytef*>(bytes), count);
    length_ += count;
  }
  void add(const std::string& text) { add(text.data(), text.size()); }
  /// At most so many bytes from where the file stands.
  void add(std::ifstream& in, std::uint64_t most) {
    constexpr std::uint64_t kPiece = 1U << 16U;
    std::string piece(kPiece, '\0');
    while (most > 0 && in) {
      in.read(piece.data(), static_cast<std::streamsize>(std::min(most, kPiece)));
      const auto got = static_cast<std::uint64_t>(in.gcount());
      add(piece.data(), got);
      most -= got;
    }
  }
  [[nodiscard]] std::string text() const { return fmt::format("{:08x}-{}", crc_, length_); }

 private:
  unsigned long crc_ = 0;
  std::uint64_t length_ = 0;
};

std::ifstream opened(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in) throw data_error("cannot be read", Where{file.string(), {}, {}}, "check the path");
  return in;
}

void add_file(Digest& digest, const fs::path& file) {
  std::ifstream in = opened(file);
  digest.add(file.filename().string());
  digest.add(in, ~std::uint64_t{0});
}

/// A file with its siblings; of a folder all it holds.
std::string digest_of_file(const fs::path& file) {
  std::vector<fs::path> all;
  if (fs::is_directory(file)) {
    for (const auto& entry : fs::recursive_directory_iterator(file))
      if (entry.is_regular_file()) all.push_back(entry.path());
  } else {
    all.push_back(file);
    for (const auto& entry : fs::directory_iterator(file.has_parent_path() ? file.parent_path() : fs::path(".")))
      if (entry.is_regular_file() && entry.path().stem() == file.stem() && file.extension() == ".shp" &&
          entry.path().filename() != file.filename())
        all.push_back(entry.path());
  }
  std::sort(all.begin(), all.end());
  Digest digest;
  for (const fs::path& each : all) add_file(digest, each);
  return digest.text();
}

/// Samples, evenly over the file; all of a small one.
std::string digest_of_rows(const fs::path& file) {
  constexpr std::uint64_t kSamples = 256, kSample = 4096;
  std::error_code failure;
  const std::uint64_t size = fs::file_size(file, failure);
  if (failure) return "no file of a known size";
  std::ifstream in = opened(file);
  Digest digest;
  if (size <= kSamples * kSample) {
    digest.add(in, size);
    return digest.text();
  }
  for (std::uint64_t k = 0; k < kSamples; ++k) {
    in.seekg(static_cast<std::streamoff>((size - kSample) / (kSamples - 1) * k));
    digest.add(in, kSample);
  }
  return fmt::format("{} of {}", digest.text(), size);
}

std::string time_of_change(const fs::path& file) {
  std::error_code failure;
  const auto time = fs::last_write_time(file, failure);
  return failure ? "" : std::to_string(time.time_since_epoch().count());
}

std::string text_of(const aircraft::Aircraft& a) {
  std::string text = fmt::format("{} {} {}", a.name, a.engine_arms_m, a.may_run_alone);
  for (const aircraft::NumberKey& key : aircraft::number_keys()) text += fmt::format(" {}={}", key.key, a.*key.member);
  return text;
}

std::string digest_of_aircraft(const std::map<std::string, io::FleetEntry>& fleet) {
  Digest digest;
  for (const auto& [name, entry] : fleet)
    digest.add(fmt::format("{} {} {}\n", name, entry.mass_kg, text_of(entry.aircraft)));
  for (const std::string& name : io::aircraft_names()) digest.add(text_of(io::find_aircraft(name)) + '\n');
  return digest.text();
}

}  // namespace

Digests digests_of(const EstimateOptions& options, const std::vector<std::pair<std::string, std::string>>& files,
                   const std::map<std::string, io::FleetEntry>& fleet) {
  const QuestionOptions& q = options.question;
  Digests out{
      {"version", project_version()},
      {"options", fmt::format("oat {} qnh {} surface {} unknown grade {} mass class {} reject share {} draws {} seed {}",
                              q.oat_c, q.qnh_hpa, q.surface, q.unknown_grade_pct, options.mass_class_kg,
                              options.reject_share_pct, options.draws, options.seed)},
      {"files written", fmt::format("{} {}", options.per_flight.has_value(), options.rejects.has_value())}};
  for (const auto& [what, file] : files) out.emplace_back(what, digest_of_file(file));
  out.emplace_back("aircraft", digest_of_aircraft(fleet));
  out.emplace_back("movements", digest_of_rows(options.movements));
  out.emplace_back(kTimeOfChange, time_of_change(options.movements));
  return out;
}

}  // namespace solotaxi::cli
