// Text that lives where it is declared: up to kInside bytes need no memory of their own, so that a screen can be worded
// anew forty times a second without allocating. What is longer goes to the heap and is never lost. Pure values.
#pragma once

#include <algorithm>
#include <array>
#include <concepts>
#include <cstddef>
#include <iosfwd>
#include <string>
#include <string_view>

#include "dashboard/few.hpp"

namespace hushmill::dashboard {

template <class T>
concept TextLike = std::convertible_to<const T&, std::string_view>;

class Words {
 public:
  static constexpr std::size_t kInside = 184;  ///< bytes; the longest sentences of the screen have about 150

  Words() = default;
  template <TextLike T>
  Words(const T& text) {  // NOLINT: text is text
    append(text);
  }

  std::string_view view() const noexcept { return {data(), size_}; }
  operator std::string_view() const noexcept { return view(); }
  operator std::string() const { return std::string(view()); }
  bool empty() const noexcept { return size_ == 0; }
  std::size_t size() const noexcept { return size_; }
  char front() const noexcept { return view().front(); }
  char back() const noexcept { return view().back(); }
  std::size_t find(std::string_view part) const noexcept { return view().find(part); }
  bool contains(std::string_view part) const noexcept { return find(part) != std::string_view::npos; }

  void clear() noexcept { size_ = 0; }
  void append(std::string_view more) {
    const std::size_t longer = size_ + more.size();
    if (longer > kInside) {
      if (size_ <= kInside) beyond_.assign(inside_.data(), size_);
      beyond_.resize(size_);
      beyond_.append(more);
    } else {
      std::copy(more.begin(), more.end(), inside_.begin() + static_cast<std::ptrdiff_t>(size_));
    }
    size_ = longer;
  }
  void push_back(char one) { append({&one, 1}); }
  Words& operator+=(std::string_view more) {
    append(more);
    return *this;
  }
  /// Leaves the first `size` bytes.
  void cut_to(std::size_t size) {
    if (size >= size_) return;
    if (size_ > kInside && size <= kInside) std::copy_n(beyond_.begin(), size, inside_.begin());
    size_ = size;
  }
  /// In place; the text keeps its length.
  void put(std::size_t at, char one) { (size_ > kInside ? beyond_[at] : inside_[at]) = one; }

  template <TextLike T>
  friend bool operator==(const Words& a, const T& b) {
    return a.view() == std::string_view(b);
  }
  template <TextLike A, TextLike B>
    requires(std::same_as<A, Words> || std::same_as<B, Words>)
  friend Words operator+(const A& a, const B& b) {
    Words both(a);
    both.append(b);
    return both;
  }
  friend std::ostream& operator<<(std::ostream& out, const Words& words);

 private:
  const char* data() const noexcept { return size_ > kInside ? beyond_.data() : inside_.data(); }

  std::array<char, kInside> inside_{};
  std::string beyond_;
  std::size_t size_ = 0;
};

/// One text in several lengths, best first, for numbers that must not be cut.
using Spellings = Few<Words, 4>;

}  // namespace hushmill::dashboard
