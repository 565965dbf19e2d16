// A queue for keys that never fall: the radix heap of Ahuja, Mehlhorn, Orlin & Tarjan, J. ACM 37 (1990) 213, on the bits of
// a double, which order like the number for numbers of 0 or more.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <vector>

namespace solotaxi::planning {

class RadixQueue {
 public:
  struct Entry {
    std::uint64_t key;
    std::uint32_t value;
    [[nodiscard]] double cost() const { return std::bit_cast<double>(key); }
  };

  void clear() {
    for (std::uint64_t left = used_; left != 0; left &= left - 1) bucket_[at(left)].clear();
    used_ = 0;
    last_ = 0;
  }
  [[nodiscard]] bool empty() const { return used_ == 0; }

  /// A key below the last one popped (rounding) counts as that one.
  void push(double cost, std::uint32_t value) {
    const std::uint64_t key = std::max(std::bit_cast<std::uint64_t>(cost), last_);
    put({key, value});
  }

  Entry pop() {
    const std::size_t b = at(used_);
    auto& from = bucket_[b];
    if (b == 0 || from.size() == 1) {
      const Entry entry = from.back();
      from.pop_back();
      if (from.empty()) used_ &= ~(std::uint64_t{1} << b);
      last_ = entry.key;
      return entry;
    }
    last_ = std::min_element(from.begin(), from.end(), [](const Entry& x, const Entry& y) { return x.key < y.key; })->key;
    used_ &= ~(std::uint64_t{1} << b);
    for (const Entry& entry : from) put(entry);
    from.clear();
    const Entry entry = bucket_[0].back();
    bucket_[0].pop_back();
    if (bucket_[0].empty()) used_ &= ~std::uint64_t{1};
    return entry;
  }

 private:
  static std::size_t at(std::uint64_t bits) { return static_cast<std::size_t>(std::countr_zero(bits)); }
  void put(const Entry& entry) {
    // The sign bit is the same in all keys, so 64 buckets are enough.
    const auto b = static_cast<std::size_t>(std::bit_width(entry.key ^ last_));
    bucket_[b].push_back(entry);
    used_ |= std::uint64_t{1} << b;
  }

  std::array<std::vector<Entry>, 64> bucket_;
  std::uint64_t used_ = 0, last_ = 0;
};

}  // namespace solotaxi::planning
