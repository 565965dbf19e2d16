// The words of a page as HTML, and how much of them one printed sheet holds.
#pragma once

#include <string>
#include <vector>

#include "page_subject.hpp"

namespace solotaxi::report {

/// With a capital letter at its head.
[[nodiscard]] std::string sentence(std::string text);

/// A briefing cut at its headings; the first section has none.
struct Section {
  std::string heading;
  std::vector<Page::Entry> entries;
};
[[nodiscard]] std::vector<Section> sections_of(const Page& page);

/// Items as a list of terms, lines as a list, places as buttons that go there, rows as a table. `on_paper`: how many places
/// are printed; those of least weight are left out first.
[[nodiscard]] std::string entries_html(const std::vector<Page::Entry>& entries, std::size_t on_paper = SIZE_MAX);

/// What is to be watched on the way, in order.
[[nodiscard]] std::vector<Page::Entry> watch_list(const PageSubject& subject);

/// Room of the printed sheet for words beside the smallest map, told in lines of its three columns.
class Paper {
 public:
  enum class Type { normal, small };
  explicit Paper(Type type) : left_(type == Type::normal ? kNormalLines : kSmallLines) {}
  /// Lines a list of entries takes.
  [[nodiscard]] static double lines(const std::vector<Page::Entry>& entries);
  void take(const std::vector<Page::Entry>& entries) {
    if (!entries.empty()) left_ -= lines(entries) + kHeading;
  }
  /// A sentence that runs over the whole width.
  void take_wide(const std::string& text);
  /// How many of these entries find room; of the places the lightest are left out first.
  [[nodiscard]] std::size_t fitting(const std::vector<Page::Entry>& entries) const;
  [[nodiscard]] bool full() const { return left_ < 0.0; }

 private:
  static constexpr double kHeading = 1.6;
  // 133 mm of three columns, of 7 pt and 5.7 pt with a fifth between lines; the smaller type's longer lines counted in.
  static constexpr double kNormalLines = 124.0, kSmallLines = 180.0;
  double left_;
};

}  // namespace solotaxi::report
