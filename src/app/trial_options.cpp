#include "app/trial_options.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <algorithm>
#include <cstdio>

#include "app/option_text.hpp"

namespace hushmill::app {

namespace {
trial::Tag parse_tag(const std::string& text) {
  constexpr double kLongestS = 1e7;
  const auto first = text.find(':');
  const auto second = first == std::string::npos ? first : text.find(':', first + 1);
  const auto place = second == std::string::npos ? std::nullopt : trial::place_from(std::string_view(text).substr(second + 1));
  if (!place)
    throw UsageError("--tag is '" + text.substr(0, 60) + "'; from, to and one of wall, corner, slot, entry, floor, as 4.1:4.6:corner, would be right");
  const trial::Tag tag{parse_number("--tag", std::string_view(text).substr(0, first), 0, kLongestS),
                       parse_number("--tag", std::string_view(text).substr(first + 1, second - first - 1), 0, kLongestS), *place};
  if (!(tag.to_s > tag.from_s))
    throw UsageError("--tag is '" + text.substr(0, 60) + "' and ends where it begins or before; the earlier time first would be right");
  return tag;
}
}  // namespace

void add_trial_options(CLI::App& command, TrialOptionTexts& texts) {
  constexpr const char* kGroup = kTrialsGroup;
  command.add_option("--hold-s", texts.hold_s, "Quiet cut that a speed must show before it has held, default 3 s")->type_name("S")->group(kGroup);
  command.add_option("--tag", texts.tags, "What was cut from when to when: wall, corner, slot, entry or floor, as 4.1:4.6:corner; may be repeated")
      ->type_name("S:S:PLACE")->group(kGroup)->expected(1)->take_all();
}

TrialOptions trial_options(const TrialOptionTexts& texts) {
  TrialOptions options;
  if (texts.hold_s) options.rules.hold_s = parse_number("--hold-s", *texts.hold_s, 0.1, 3600);
  for (const auto& text : texts.tags) options.tags.push_back(parse_tag(text));
  return options;
}

std::string settings_text(const TrialOptionTexts& texts) {
  std::string text = texts.hold_s ? " --hold-s " + *texts.hold_s : std::string();
  for (const auto& tag : texts.tags) text += " --tag " + tag;
  return text;
}

void tell_overlaps(const std::vector<trial::Tag>& tags) {
  const auto typed = [](const trial::Tag& tag) { return fmt::format("{}:{}:{}", plain(tag.from_s), plain(tag.to_s), trial::word(tag.place)); };
  for (std::size_t later = 1; later < tags.size(); ++later) {
    for (std::size_t earlier = 0; earlier < later; ++earlier) {
      const auto &a = tags[earlier], &b = tags[later];
      const double from_s = std::max(a.from_s, b.from_s), to_s = std::min(a.to_s, b.to_s);
      if (!(to_s > from_s) || a.place == b.place) continue;
      if (b.from_s >= a.from_s && b.to_s <= a.to_s) continue;  // a corner within a wall is what the later one is for
      fmt::print(stderr, "hushmill: --tag {} and {} overlap: from {} to {} s it is taken as {}, which was given last\n", typed(a), typed(b),
                 plain(from_s), plain(to_s), trial::word(b.place));
    }
  }
}

}  // namespace hushmill::app
