#include "dashboard/draw_greeting.hpp"

#include <algorithm>

#include "dashboard/draw_field_value.hpp"
#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

using live::SourceKind;

struct CardWords {
  const char* title;
  const char* what;
  const char* begin;
};

constexpr std::array<CardWords, 3> kWords{
    CardWords{"Listen with this microphone",
              "A cut on the machine beside you. Let it run a second in air first, so that the room is known.", "Listen"},
    CardWords{"Open a recording", "A cut that was recorded, heard as if it happened now. A file may be dropped here.",
              "Open"},
    CardWords{"Try the simulator",
              "A simulated machine mills a bracket wall, and you hear it on M. After six seconds it cuts deeper and chatters: "
              "turn the speed, and see why it goes quiet. Nothing can break.",
              "Start"}};

std::size_t index_of(SourceKind kind) noexcept { return static_cast<std::size_t>(kind); }

/// The file without most of its folders, so that its name is what is read.
std::string file_name(const std::string& file) {
  const auto slash = file.find_last_of("/\\");
  return slash == std::string::npos ? file : file.substr(slash + 1);
}

std::size_t count_of(const Greeting& greeting, std::size_t card) {
  return card == 0 ? greeting.offer.microphones.size() : greeting.offer.recordings.size();
}
std::size_t chosen_of(const Greeting& greeting, std::size_t card) {
  return card == 0 ? greeting.microphone : greeting.recording;
}

void place_parts(const Canvas& canvas, GreetingPlaces& places, const Greeting& greeting, std::size_t card, Rect inside) {
  const float row = canvas.px(24), gap = canvas.px(6);
  places.buttons[card] = {inside.x, inside.bottom() - canvas.px(34), inside.w, canvas.px(34)};
  if (card == index_of(SourceKind::rig)) return;
  inside.h -= canvas.px(34) + gap;
  auto& fields = places.fields[card];
  const auto field = [&](GreetingField which) -> Rect& { return fields[static_cast<std::size_t>(which)]; };
  const float height = canvas.px(26);
  inside.h -= canvas.px(places.compact ? 18 : 36);  // what is wrong, above the button
  if (places.compact) {
    const Rect both{inside.x, inside.bottom() - height, inside.w, height};
    field(GreetingField::speed) = both.left((both.w - gap) / 2);
    field(GreetingField::flutes) = both.after((both.w + gap) / 2);
    inside.h -= height + gap;
  } else {
    field(GreetingField::flutes) = {inside.x, inside.bottom() - height, inside.w, height};
    field(GreetingField::speed) = {inside.x, inside.bottom() - 2 * height - gap, inside.w, height};
    inside.h -= 2 * (height + gap);
  }
  if (card == index_of(SourceKind::recording)) {
    field(GreetingField::path) = {inside.x, inside.bottom() - height, inside.w, height};
    inside.h -= height + gap;
  }
  const auto room = static_cast<std::size_t>(std::max(1.0F, std::floor((inside.h + 0.5F) / row)));
  const std::size_t count = std::min(count_of(greeting, card), room);
  const std::size_t chosen = chosen_of(greeting, card);
  places.first_row[card] = chosen >= count ? chosen + 1 - count : 0;
  for (std::size_t i = 0; i < count; ++i)
    places.rows[card].push_back({inside.x, inside.y + static_cast<float>(i) * row, inside.w, row});
}

/// Where the words under the title end and the list begins.
Rect below_words(const Canvas& canvas, const Rect& card, bool compact) {
  const Rect inside = card.inset(canvas.px(14), canvas.px(12));
  return compact ? inside : inside.below(canvas.px(98));
}

void draw_rows(Canvas& canvas, const GreetingPlaces& places, const Greeting& greeting, std::size_t card, bool active) {
  const Theme& theme = canvas.theme();
  for (std::size_t i = 0; i < places.rows[card].size(); ++i) {
    const std::size_t at = places.first_row[card] + i;
    const Rect& row = places.rows[card][i];
    const bool chosen = at == chosen_of(greeting, card);
    const Point mark{row.x + canvas.px(8), row.middle_y()};
    canvas.ring(mark, canvas.px(5), chosen ? theme.ink : theme.mark, canvas.px(1.3F));
    if (chosen) canvas.disc(mark, canvas.px(2.6F), theme.ink);
    const std::string words =
        card == 0 ? greeting.offer.microphones[at] : file_name(greeting.offer.recordings[at]);
    canvas.text(row.after(canvas.px(20)), words,
                {.size = 13,
                 .weight = chosen && active ? Weight::bold : Weight::regular,
                 .colour = chosen ? theme.ink : theme.dim});
  }
}

void draw_entry(Canvas& canvas, const Rect& room, const char* name, const char* unit, const LineEditor& editor,
                bool active, bool wrong) {
  const Theme& theme = canvas.theme();
  const float name_width = canvas.width_px(name, 13, Weight::regular) + canvas.px(8);
  canvas.text(room.left(name_width), name, {.size = 13, .colour = theme.dim});
  Rect box = room.after(name_width);
  if (*unit) {
    const float width = canvas.width_px(unit, 12, Weight::regular) + canvas.px(2);
    canvas.text({box.right() - width, box.y, width, box.h}, unit, {.size = 12, .colour = theme.dim, .x = AlignX::right});
    box.w -= width + canvas.px(6);
  }
  if (active) {
    FieldRow row;
    row.editing = true;
    row.typed = editor.text();
    row.caret = editor.caret();
    row.all_selected = editor.all_selected();
    row.wrong = wrong;
    draw_field_value(canvas, box, row, "");
    return;
  }
  canvas.fill(box, theme.well, canvas.px(3));
  canvas.outline(box, theme.mark, canvas.px(1), canvas.px(3));
  const Rect inside = box.inset(canvas.px(4), canvas.px(1));
  if (editor.text().empty()) {
    canvas.text(inside, "type it", {.size = 12, .colour = theme.dim, .x = AlignX::right});
    return;
  }
  // The end of a long path is what is read.
  std::string_view shown = editor.text();
  while (!shown.empty() && canvas.width_px(shown, 12, Weight::regular) > inside.w) shown.remove_prefix(1);
  canvas.text(inside, shown, {.size = 12, .colour = theme.ink, .x = AlignX::right});
}

void draw_parts(Canvas& canvas, const GreetingPlaces& places, const Greeting& greeting, std::size_t card) {
  const Theme& theme = canvas.theme();
  const bool active = index_of(greeting.card) == card;
  const Rect& button = places.buttons[card];
  if (card != index_of(SourceKind::rig)) {
    const auto& fields = places.fields[card];
    const auto at = [&](GreetingField field) { return active && greeting.field == field; };
    if (count_of(greeting, card) == 0) {
      const Rect room{button.x, places.chosen.y, button.w, canvas.px(40)};
      const std::string none = card == 0 ? (greeting.offer.microphone_trouble.empty()
                                                ? "No microphone is there. Plug one in: it will appear here."
                                                : greeting.offer.microphone_trouble)
                                         : "No sound file lies here; type one below.";
      canvas.text(room, none, {.size = 12, .colour = theme.dim, .y = AlignY::top, .lines = 2});
    }
    draw_rows(canvas, places, greeting, card, active);
    const bool wrong = active && !greeting.trouble.empty();
    if (card == index_of(SourceKind::recording))
      draw_entry(canvas, fields[1], "File", "", greeting.path, at(GreetingField::path), wrong);
    draw_entry(canvas, fields[2], "Speed", "rev/min", greeting.speed, at(GreetingField::speed), wrong);
    draw_entry(canvas, fields[3], "Flutes", "", greeting.flutes, at(GreetingField::flutes), wrong);
  }
  if (active && !greeting.trouble.empty()) {
    const float height = canvas.px(places.compact ? 16 : 34);
    canvas.text({button.x, button.y - height - canvas.px(2), button.w, height}, greeting.trouble,
                {.size = 12, .colour = theme.danger_text, .lines = places.compact ? 1 : 2});
  }
  canvas.fill(button, active ? theme.mark : theme.well, canvas.px(5), active ? 0.35 : 1.0);
  canvas.outline(button, active ? theme.ink : theme.mark, canvas.px(active ? 1.5F : 1), canvas.px(5));
  canvas.text(button, active ? std::string(kWords[card].begin) + "  (Enter)" : std::string(kWords[card].begin),
              {.size = 15, .weight = Weight::bold, .colour = theme.ink, .x = AlignX::middle});
}

/// What the signs of the verdict mean, for somebody who sees them for the first time.
void draw_signs(Canvas& canvas, Rect room) {
  struct Sign {
    Shape shape;
    Tone tone;
    const char* words;
  };
  static constexpr std::array<Sign, 5> kSigns{
      Sign{Shape::wave, Tone::normal, "steady: in step with the teeth"},
      Sign{Shape::square, Tone::abnormal, "ringing: loud, but in step (forced vibration)"},
      Sign{Shape::triangle, Tone::abnormal, "something builds up, not proved yet"},
      Sign{Shape::diamond, Tone::danger, "chatter, and which way to turn the speed"},
      Sign{Shape::half, Tone::abnormal, "quiet now, but it chattered at this speed"}};
  const Theme& theme = canvas.theme();
  const float row = std::min(canvas.px(44), room.h / static_cast<float>(kSigns.size()));
  if (row < canvas.px(22)) return;
  for (const Sign& sign : kSigns) {
    const float side = row - canvas.px(8);
    draw_shape(canvas, {room.x, room.y + (row - side) / 2, side, side}, sign.shape, sign.tone);
    canvas.text(room.top(row).after(side + canvas.px(12)), sign.words, {.size = 13, .colour = theme.ink});
    room = room.below(row);
  }
}

}  // namespace

GreetingPlaces greeting_places(const Canvas& canvas, const Rect& window, const Greeting& greeting) {
  GreetingPlaces places;
  const float gap = canvas.px(12);
  places.compact = window.w < canvas.px(1000) || window.h < canvas.px(560);
  Rect all = window.inset(gap, gap);
  places.heading = all.top(canvas.px(places.compact ? 30 : 74));
  all = all.below(places.heading.h);
  const float cautions = canvas.px(places.compact ? 46 : 58);
  places.cautions = {all.x, all.bottom() - cautions, all.w, cautions};
  all.h -= cautions + gap / 2;
  places.foot = {all.x, all.bottom() - canvas.px(22), all.w, canvas.px(22)};
  all.h -= places.foot.h + gap / 2;
  const float each = (all.w - 2 * gap) / 3;
  for (std::size_t i = 0; i < 3; ++i) {
    places.cards[i] = {all.x + static_cast<float>(i) * (each + gap), all.y, each, all.h};
    if (places.compact) places.cards[i].h = canvas.px(30);
  }
  if (places.compact) {
    const Rect body = all.below(canvas.px(36));
    places.chosen = below_words(canvas, body, true);
    place_parts(canvas, places, greeting, index_of(greeting.card), places.chosen);
    return places;
  }
  for (std::size_t i = 0; i < 3; ++i) {
    const Rect inside = below_words(canvas, places.cards[i], false);
    if (i == index_of(greeting.card)) places.chosen = inside;
    place_parts(canvas, places, greeting, i, inside);
  }
  return places;
}

void draw_greeting(Canvas& canvas, const Rect& window, const Greeting& greeting, Units units) {
  const Theme& theme = canvas.theme();
  const GreetingPlaces places = greeting_places(canvas, window, greeting);
  canvas.enter("Greeting");
  canvas.fill(window, theme.ground);
  canvas.text(places.heading, "What shall Hushmill listen to?",
              {.size = places.compact ? 20.0F : 36.0F, .weight = Weight::bold, .colour = theme.ink, .x = AlignX::middle});
  if (places.compact) {
    const Rect body{window.x + canvas.px(12), places.cards[0].bottom() + canvas.px(2), window.w - canvas.px(24),
                    places.foot.y - canvas.px(4) - places.cards[0].bottom()};
    canvas.fill(body, theme.panel, canvas.px(6));
  }
  for (std::size_t i = 0; i < 3; ++i) {
    const bool active = index_of(greeting.card) == i;
    const Rect& card = places.cards[i];
    canvas.fill(card, theme.panel, canvas.px(6));
    canvas.outline(card, active ? theme.ink : theme.line, canvas.px(active ? 2 : 1), canvas.px(6));
    if (places.compact) {
      canvas.text(card.inset(canvas.px(6), 0), kWords[i].title,
                  {.size = 13, .weight = active ? Weight::bold : Weight::regular, .colour = theme.ink, .x = AlignX::middle});
      if (active) draw_parts(canvas, places, greeting, i);
      continue;
    }
    const Rect inside = card.inset(canvas.px(14), canvas.px(12));
    canvas.text(inside.top(canvas.px(28)), kWords[i].title,
                {.size = 20, .weight = Weight::bold, .colour = theme.ink, .y = AlignY::top});
    canvas.text(inside.below(canvas.px(32)).top(canvas.px(i == 2 ? 120 : 58)), kWords[i].what,
                {.size = 13, .colour = theme.dim, .y = AlignY::top, .lines = i == 2 ? 6 : 3});
    draw_parts(canvas, places, greeting, i);
    if (i == index_of(SourceKind::rig)) {
      Rect signs = inside.below(canvas.px(130));
      signs.h = places.buttons[i].y - canvas.px(14) - signs.y;
      draw_signs(canvas, signs);
    }
  }
  const std::string lengths = units == Units::metric ? "Lengths in millimetres (U)" : "Lengths in inches (U)";
  const float width = canvas.width_px(lengths, 13, Weight::regular) + canvas.px(4);
  canvas.text({places.foot.right() - width, places.foot.y, width, places.foot.h}, lengths,
              {.size = 13, .colour = theme.ink, .x = AlignX::right});
  canvas.text(places.foot.left(places.foot.w - width - canvas.px(14)),
              std::string("Left and Right choose") + kDot + "Up and Down in the list" + kDot + "Tab to type" +
                  (greeting.may_leave    ? kDot + std::string("Esc goes back")
                   : places.compact ? std::string()
                                    : kDot + std::string("T light or dark")),
              {.size = 13, .colour = theme.dim});
  draw_cautions(canvas, places.cautions, {}, !places.compact);
}

}  // namespace hushmill::dashboard
