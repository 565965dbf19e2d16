// Runs a fuzz target over every file of a corpus and over seeded mutations of them, as an ordinary test. The targets have
// the entry point of libFuzzer and may be run under it as well.
//
//   replay FOLDER MUTATIONS      of each file; exit status 0 where the target accepted all
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

std::vector<std::string> read_corpus(const std::filesystem::path& folder) {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  std::vector<std::string> out;
  for (const auto& file : files) {
    std::ifstream in(file, std::ios::binary);
    out.emplace_back(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
  }
  return out;
}

void run(const std::string& text) {
  const std::vector<std::uint8_t> bytes(text.begin(), text.end());
  LLVMFuzzerTestOneInput(bytes.data(), bytes.size());
}

class Mutator {
 public:
  explicit Mutator(const std::vector<std::string>& corpus) : corpus_(corpus) {}

  std::string mutated(std::string text) {
    for (std::size_t times = 1 + below(4); times > 0; --times) change(text);
    return text;
  }

 private:
  std::size_t below(std::size_t n) { return static_cast<std::size_t>(random_() % n); }

  /// A piece of any file of the corpus.
  std::string piece() {
    const std::string& from = corpus_[below(corpus_.size())];
    if (from.empty()) return " ";
    const std::size_t begin = below(from.size());
    return from.substr(begin, 1 + below(24));
  }

  void change(std::string& text) {
    const std::size_t at = below(text.size() + 1);
    switch (below(5)) {
      case 0:
        text.insert(at, piece());
        break;
      case 1:
        text.erase(at, 1 + below(12));
        break;
      case 2:
        if (at < text.size()) text[at] = static_cast<char>(below(256));
        break;
      case 3:
        text = text.substr(0, at) + piece();
        break;
      default:
        text.insert(at, text.substr(below(text.size() + 1), below(40)));
    }
  }

  const std::vector<std::string>& corpus_;
  std::mt19937_64 random_{1};
};

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    std::fputs("replay FOLDER MUTATIONS\n", stderr);
    return 2;
  }
  const auto corpus = read_corpus(argv[1]);
  const long mutations = std::strtol(argv[2], nullptr, 10);
  if (corpus.empty() || mutations < 0) {
    std::fputs("no corpus, or no number of mutations\n", stderr);
    return 2;
  }
  for (const std::string& text : corpus) run(text);
  Mutator mutator(corpus);
  for (const std::string& text : corpus)
    for (long i = 0; i < mutations; ++i) run(mutator.mutated(text));
  std::printf("%zu files, %ld mutations of each\n", corpus.size(), mutations);
  return 0;
}
