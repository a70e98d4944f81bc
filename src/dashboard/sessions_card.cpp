#include "dashboard/sessions_card.hpp"

#include <algorithm>

#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

constexpr std::size_t kLongest = 400;
constexpr std::size_t kPage = 8;

void append_utf8(char32_t c, std::string& text) {
  const auto put = [&](char32_t bits) { text += static_cast<char>(static_cast<unsigned char>(bits)); };
  if (c < 0x80) {
    put(c);
  } else if (c < 0x800) {
    put(0xC0 | (c >> 6));
    put(0x80 | (c & 0x3F));
  } else if (c < 0x10000) {
    put(0xE0 | (c >> 12));
    put(0x80 | ((c >> 6) & 0x3F));
    put(0x80 | (c & 0x3F));
  } else {
    put(0xF0 | (c >> 18));
    put(0x80 | ((c >> 12) & 0x3F));
    put(0x80 | ((c >> 6) & 0x3F));
    put(0x80 | (c & 0x3F));
  }
}

/// A slash, or the ending of a sound file: no words of a job.
bool is_path(const std::string& words) {
  if (words.find('/') != std::string::npos || words.find('\\') != std::string::npos) return true;
  for (const char* ending : {".wav", ".flac", ".ogg", ".aiff", ".aif"})
    if (words.size() > std::string_view(ending).size() && words.ends_with(ending)) return true;
  return false;
}

std::string kind_words(const live::KeptSoundLine& sound) {
  if (sound.kind == "minute") return "minute kept";
  if (sound.kind == "listened") return "file";
  return "recording";
}

}  // namespace

bool SessionsCard::type(std::u32string_view typed) {
  const std::string before = words_;
  for (const char32_t c : typed)
    if (c >= 0x20 && c != 0x7F && words_.size() < kLongest) append_utf8(c, words_);
  if (words_ == before) return false;
  say({});
  lay_out();
  return true;
}

bool SessionsCard::press(const std::string& key) {
  if (key == "Backspace" && !words_.empty()) {
    while (words_.size() > 1 && (static_cast<unsigned char>(words_.back()) & 0xC0) == 0x80) words_.pop_back();
    words_.pop_back();
    say({});
    lay_out();
    return true;
  }
  const std::size_t last = lines_.empty() ? 0 : lines_.size() - 1;
  if (key == "Up") selected_ -= selected_ > 0 ? 1 : 0;
  if (key == "Down") selected_ = std::min(last, selected_ + 1);
  if (key == "PageUp" || key == "Home") selected_ = key == "Home" || selected_ < kPage ? 0 : selected_ - kPage;
  if (key == "PageDown" || key == "End") selected_ = key == "End" ? last : std::min(last, selected_ + kPage);
  return false;
}

void SessionsCard::select(std::size_t line) {
  if (line < lines_.size()) selected_ = line;
}

void SessionsCard::take(live::Shelf::Sessions sessions) {
  answered_ = true;
  sessions_ = std::move(sessions);
  lay_out();
}

void SessionsCard::lay_out() {
  lines_.clear();
  if (is_path(words_)) {
    Line line;
    line.when = "Open the file";
    line.what = words_;
    line.can_open = true;
    line.choice.file = words_;
    lines_.push_back(std::move(line));
  }
  for (const auto& session : sessions_.list) {
    Line line;
    line.when = grouped(static_cast<double>(session.number)) + kDot + session.begun.substr(0, 16);
    line.what = session.what;
    line.length = session.heard_s ? in_time(*session.heard_s) : "not ended";
    line.chatter = session.episodes == 0   ? "quiet"
                   : session.episodes == 1 ? "chatter once"
                                           : "chatter " + grouped(static_cast<double>(session.episodes)) + " times";
    line.choice.session = session.number;
    if (session.sounds.empty()) {
      line.length += ", no sound kept";
      lines_.push_back(std::move(line));
      continue;
    }
    for (const auto& sound : session.sounds) {
      Line one = line;
      one.can_open = true;
      one.length = kind_words(sound) + (sound.length_s > 0 ? ", " + in_time(sound.length_s) : Words());
      one.choice.sound = sound;
      lines_.push_back(std::move(one));
    }
  }
  selected_ = lines_.empty() ? 0 : std::min(selected_, lines_.size() - 1);
}

std::optional<KeptChoice> SessionsCard::chosen() const {
  if (selected_ >= lines_.size() || !lines_[selected_].can_open) return std::nullopt;
  return lines_[selected_].choice;
}

}  // namespace hushmill::dashboard
