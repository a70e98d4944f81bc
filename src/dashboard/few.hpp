// A list without memory of its own, for lists whose most is known. Pure value.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <initializer_list>

namespace hushmill::dashboard {

/// At most N; what finds no room is dropped.
template <class T, std::size_t N>
class Few {
 public:
  static constexpr std::size_t kMost = N;

  Few() = default;
  Few(std::initializer_list<T> items) {
    for (const T& item : items) push_back(item);
  }
  void push_back(const T& item) {
    if (size_ < N) items_[size_++] = item;
  }
  std::size_t size() const noexcept { return size_; }
  bool empty() const noexcept { return size_ == 0; }
  const T* begin() const noexcept { return items_.data(); }
  const T* end() const noexcept { return items_.data() + size_; }
  T* begin() noexcept { return items_.data(); }
  T* end() noexcept { return items_.data() + size_; }
  const T* data() const noexcept { return items_.data(); }
  T* data() noexcept { return items_.data(); }
  const T& operator[](std::size_t at) const { return items_[at]; }
  T& operator[](std::size_t at) { return items_[at]; }
  const T& front() const { return items_.front(); }
  T& front() { return items_.front(); }
  const T& back() const { return items_[size_ - 1]; }
  T& back() { return items_[size_ - 1]; }
  bool operator==(const Few& other) const { return std::equal(begin(), end(), other.begin(), other.end()); }

 private:
  std::array<T, N> items_{};
  std::size_t size_ = 0;
};

}  // namespace hushmill::dashboard
