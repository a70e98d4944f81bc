#include "dashboard/replay_keys.hpp"

#include <algorithm>
#include <array>

#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {
namespace {

constexpr std::array kLines{
    ReplayKeyLine{ReplayAction::play, "Space", "", "play, or hold still", false},
    ReplayKeyLine{ReplayAction::back, "Left", "", "a second back", false},
    ReplayKeyLine{ReplayAction::forward, "Right", "", "a second on", false},
    ReplayKeyLine{ReplayAction::fine_back, ",", "", "one moment back", false},
    ReplayKeyLine{ReplayAction::fine_forward, ".", "", "one moment on", false},
    ReplayKeyLine{ReplayAction::episode_before, "[", "PageUp", "to the chatter before", false},
    ReplayKeyLine{ReplayAction::episode_after, "]", "PageDown", "to the next chatter", false},
    ReplayKeyLine{ReplayAction::beginning, "Home", "", "to the beginning", false},
    ReplayKeyLine{ReplayAction::end, "End", "", "to the end; of a look back: to now", false},
    ReplayKeyLine{ReplayAction::slower, "-", "", "slower, down to half", false},
    ReplayKeyLine{ReplayAction::faster, "+", "=", "faster, up to eight times", false},
    ReplayKeyLine{ReplayAction::loop, "X", "", "this chatter over and over, or not", true},
    ReplayKeyLine{ReplayAction::aloud, "M", "", "hear it through the loudspeaker, or not", true},
    ReplayKeyLine{ReplayAction::keys, "F1", "?", "show or hide these keys", false},
    ReplayKeyLine{ReplayAction::leave, "Esc", "", "leave: back to now", false},
};

constexpr float kLineHeight = 24;

struct CardPlace {
  Rect card, inside, list;
  std::size_t first = 0, shown = 0;
};

// The card, the list in it and which lines are in view. The selected one always is.
CardPlace place_of(const Canvas& canvas, const SessionsCard& card, const Rect& window) {
  CardPlace place;
  const float width = std::min(canvas.px(860), window.w - canvas.px(16));
  const float height = std::min(canvas.px(520), window.h - canvas.px(16));
  place.card = {window.middle_x() - width / 2, window.middle_y() - height / 2, width, height};
  place.inside = panel_inside(canvas, place.card);
  const Rect below = place.inside.below(canvas.px(34));
  place.list = below.top(std::max(0.0F, below.h - canvas.px(40)));
  place.shown = static_cast<std::size_t>(std::max(1.0F, place.list.h / canvas.px(kLineHeight)));
  if (card.selected() >= place.shown) place.first = card.selected() - place.shown + 1;
  return place;
}

}  // namespace

std::span<const ReplayKeyLine> replay_key_lines() noexcept { return kLines; }

std::optional<ReplayAction> replay_action_for(const std::string& key) {
  for (const ReplayKeyLine& line : kLines)
    if (!key.empty() && (key == line.key || key == line.other)) return line.action;
  return std::nullopt;
}

void draw_replay_keys(Canvas& canvas, const Rect& window, bool recording) {
  const Theme& theme = canvas.theme();
  canvas.enter("Replay keys");
  canvas.fill(window, theme.ground, 0, 0.72);
  std::size_t shown = 0;
  for (const ReplayKeyLine& line : kLines) shown += !line.recording_only || recording ? 1 : 0;
  const float width = std::min(canvas.px(520), window.w - canvas.px(16));
  const float height = std::min(canvas.px(48) + static_cast<float>(shown) * canvas.px(25), window.h - canvas.px(16));
  const Rect card{window.middle_x() - width / 2, window.middle_y() - height / 2, width, height};
  const Rect inside =
      draw_panel(canvas, card, recording ? "Keys of a replay" : "Keys of a look back", "F1 closes this card");
  canvas.outline(card, theme.mark, canvas.px(1), canvas.px(6));
  const float row = std::min(canvas.px(25), inside.h / static_cast<float>(std::max<std::size_t>(shown, 1)));
  float y = inside.y;
  for (const ReplayKeyLine& line : kLines) {
    if (line.recording_only && !recording) continue;
    std::string key = line.key;
    if (*line.other) key += std::string(" or ") + line.other;
    canvas.text({inside.x, y, canvas.px(124), row}, key, {.size = 13, .weight = Weight::bold, .colour = theme.ink});
    canvas.text({inside.x + canvas.px(132), y, inside.w - canvas.px(132), row}, line.words,
                {.size = 13, .colour = theme.ink});
    y += row;
  }
}

Rect sessions_window(const Layout& layout) noexcept {
  const float top = layout.band.bottom();
  return {0, top, layout.band.right() + layout.band.x, layout.cautions.bottom() + layout.band.y - top};
}

std::optional<std::size_t> sessions_line_at(const Canvas& canvas, const SessionsCard& card, const Rect& window, float x,
                                            float y) {
  const CardPlace place = place_of(canvas, card, window);
  if (!place.list.contains(x, y)) return std::nullopt;
  const auto line = place.first + static_cast<std::size_t>((y - place.list.y) / canvas.px(kLineHeight));
  return line < card.lines().size() ? std::optional(line) : std::nullopt;
}

void draw_sessions(Canvas& canvas, const Rect& window, const SessionsCard& card, bool opening, bool past) {
  const Theme& theme = canvas.theme();
  const CardPlace place = place_of(canvas, card, window);
  canvas.enter("Kept");
  canvas.fill(window, theme.ground, 0, 0.72);
  draw_panel(canvas, place.card, "Open what was kept", "Enter opens; Tab: what it tried counts, or not; Esc closes");
  canvas.outline(place.card, theme.mark, canvas.px(1), canvas.px(6));
  canvas.enter("Kept");

  const Rect field = place.inside.top(canvas.px(26));
  canvas.fill(field, theme.well, canvas.px(3));
  canvas.outline(field, theme.mark, canvas.px(1), canvas.px(3));
  const bool empty = card.words().empty();
  canvas.text(field.inset(canvas.px(8), 0),
              empty ? "Type words of a job, tool or source, or the path of a sound file" : card.words(),
              {.size = 14, .colour = empty ? theme.dim : theme.ink});

  for (std::size_t i = place.first; i < card.lines().size() && i < place.first + place.shown; ++i) {
    const SessionsCard::Line& line = card.lines()[i];
    const Rect row{place.list.x, place.list.y + static_cast<float>(i - place.first) * canvas.px(kLineHeight),
                   place.list.w, canvas.px(kLineHeight)};
    const bool chosen = i == card.selected();
    if (chosen) {
      canvas.fill(row, theme.well, canvas.px(3));
      canvas.outline(row, theme.ink, canvas.px(1.5F), canvas.px(3));
    }
    const Rgb ink = line.can_open ? theme.ink : theme.dim;
    const Rect in = row.inset(canvas.px(8), 0);
    const float when = in.w * 0.27F, length = in.w * 0.25F, chatter = in.w * 0.15F, gap = canvas.px(8);
    canvas.text(in.left(when), line.when,
                {.size = 13, .weight = chosen ? Weight::bold : Weight::regular, .colour = ink});
    canvas.text({in.x + when + gap, in.y, in.w - when - length - chatter - 3 * gap, in.h}, line.what,
                {.size = 13, .colour = ink});
    canvas.text({in.right() - length - chatter - gap, in.y, length, in.h}, line.length, {.size = 13, .colour = ink});
    canvas.text({in.right() - chatter, in.y, chatter, in.h}, line.chatter,
                {.size = 13, .colour = ink, .x = AlignX::right});
  }
  if (card.lines().empty() && card.trouble().empty())
    canvas.text(place.list.top(canvas.px(kLineHeight)),
                card.answered() ? "Nothing was kept with these words." : "Looking\xE2\x80\xA6",
                {.size = 13, .colour = theme.dim});

  const Rect foot = place.inside.below(place.inside.h - canvas.px(36));
  if (!card.trouble().empty())
    canvas.text(foot, card.trouble(), {.size = 13, .colour = theme.danger_text, .y = AlignY::top, .lines = 2});
  else if (!card.done().empty())
    canvas.text(foot, card.done(), {.size = 13, .colour = theme.ink, .y = AlignY::top, .lines = 2});
  else
    canvas.text(foot,
                opening ? "Opening\xE2\x80\xA6"
                : past  ? "Another recording takes the place of the one that is shown."
                        : "While a recording is open listening rests: a microphone would hear the loudspeaker. A file can also be dropped on "
                         "the window. In a terminal, hushmill report --session N --out cut.pdf makes a session's report.",
                {.size = 12, .colour = theme.dim, .y = AlignY::top, .lines = 2});
}

}  // namespace hushmill::dashboard
