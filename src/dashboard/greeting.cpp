#include "dashboard/greeting.hpp"

#include <algorithm>
#include <array>
#include <utility>
#include <variant>

#include "dashboard/field.hpp"

namespace hushmill::dashboard {
namespace {

using live::SourceKind;

constexpr std::array kMicrophoneFields{GreetingField::card, GreetingField::speed, GreetingField::flutes};
constexpr std::array kRecordingFields{GreetingField::card, GreetingField::path, GreetingField::speed,
                                      GreetingField::flutes};
constexpr std::array kRigFields{GreetingField::card};
constexpr std::array kCards{SourceKind::microphone, SourceKind::recording, SourceKind::rig};

LineEditor* editor_of(Greeting& greeting, GreetingField field) {
  switch (field) {
    case GreetingField::path:
      return &greeting.path;
    case GreetingField::speed:
      return &greeting.speed;
    case GreetingField::flutes:
      return &greeting.flutes;
    case GreetingField::card:
      break;
  }
  return nullptr;
}

/// The value as the editor would show it again, fully selected.
void keep_text(LineEditor& editor) { editor.start(editor.text()); }

void step_field(Greeting& greeting, std::ptrdiff_t by) {
  const auto fields = fields_of(greeting.card);
  const auto at = std::find(fields.begin(), fields.end(), greeting.field) - fields.begin();
  const auto count = static_cast<std::ptrdiff_t>(fields.size());
  go_to(greeting, fields[static_cast<std::size_t>((at + by + count) % count)]);
}

void step_card(Greeting& greeting, std::ptrdiff_t by) {
  const auto at = std::find(kCards.begin(), kCards.end(), greeting.card) - kCards.begin();
  choose_card(greeting, kCards[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(at + by, 0, 2))]);
}

void step_row(Greeting& greeting, bool down) {
  const bool recording = greeting.card == SourceKind::recording;
  const std::size_t at = recording ? greeting.recording : greeting.microphone;
  const std::size_t count = recording ? greeting.offer.recordings.size() : greeting.offer.microphones.size();
  if (down ? at + 1 < count : at > 0) choose_row(greeting, down ? at + 1 : at - 1);
}

bool take(Greeting& greeting, Field field, GreetingField where, const LineEditor& editor, live::CutCard& card) {
  auto entered = with_entry(field, editor.text(), card, Units::metric);
  if (auto* bad = std::get_if<BadEntry>(&entered)) {
    go_to(greeting, where);
    greeting.trouble = bad->text;
    return false;
  }
  card = std::get<live::CutCard>(entered);
  return true;
}

}  // namespace

Greeting make_greeting(Offer offer, std::string trouble, bool may_leave) {
  Greeting greeting;
  greeting.may_leave = may_leave;
  renew(greeting, std::move(offer));
  if (!greeting.offer.recordings.empty()) greeting.path.start(greeting.offer.recordings.front());
  if (const auto& last = greeting.offer.last) {
    greeting.card = last->kind;
    greeting.speed.start(editable_text(Field::programmed, last->card, Units::metric));
    greeting.flutes.start(editable_text(Field::flutes, last->card, Units::metric));
    if (last->kind == SourceKind::recording) greeting.path.start(last->file);
    const auto& names = greeting.offer.microphones;
    const auto same = std::find(names.begin(), names.end(), last->device);
    if (same != names.end()) greeting.microphone = static_cast<std::size_t>(same - names.begin());
  }
  // Where there is nothing to listen with, the simulator is what works.
  const bool no_microphone = greeting.card == SourceKind::microphone && greeting.offer.microphones.empty();
  if (no_microphone && trouble.empty()) greeting.card = SourceKind::rig;
  greeting.trouble = std::move(trouble);
  return greeting;
}

void renew(Greeting& greeting, Offer offer) {
  const auto& before = greeting.offer.microphones;
  const std::string chosen = greeting.microphone < before.size() ? before[greeting.microphone] : std::string();
  greeting.offer = std::move(offer);
  const auto& names = greeting.offer.microphones;
  const auto same = std::find(names.begin(), names.end(), chosen);
  greeting.microphone = same == names.end() ? 0 : static_cast<std::size_t>(same - names.begin());
  greeting.recording = std::min(greeting.recording, std::max<std::size_t>(1, greeting.offer.recordings.size()) - 1);
}

std::span<const GreetingField> fields_of(SourceKind card) noexcept {
  switch (card) {
    case SourceKind::microphone:
      return kMicrophoneFields;
    case SourceKind::recording:
      return kRecordingFields;
    case SourceKind::rig:
      break;
  }
  return kRigFields;
}

void choose_card(Greeting& greeting, SourceKind card) {
  greeting.card = card;
  go_to(greeting, GreetingField::card);
}

void choose_row(Greeting& greeting, std::size_t row) {
  if (greeting.card == SourceKind::recording && row < greeting.offer.recordings.size()) {
    greeting.recording = row;
    greeting.path.start(greeting.offer.recordings[row]);
  } else if (greeting.card == SourceKind::microphone && row < greeting.offer.microphones.size()) {
    greeting.microphone = row;
  }
  greeting.trouble.clear();
}

void go_to(Greeting& greeting, GreetingField field) {
  greeting.field = field;
  greeting.trouble.clear();
  if (LineEditor* editor = editor_of(greeting, field)) keep_text(*editor);
}

bool press(Greeting& greeting, const std::string& key) {
  if (key == "Tab" || key == "Shift+Tab") {
    step_field(greeting, key == "Tab" ? 1 : -1);
  } else if (key == "Enter") {
    greeting.open_wanted = true;
  } else if (key == "Up" || key == "Down") {
    step_row(greeting, key == "Down");
  } else if (LineEditor* editor = editor_of(greeting, greeting.field)) {
    if (key == "Esc") {
      go_to(greeting, GreetingField::card);
    } else {
      editor->press(key);
      greeting.trouble.clear();
    }
  } else if (key == "Left" || key == "Right") {
    step_card(greeting, key == "Right" ? 1 : -1);
  } else {
    return false;
  }
  return true;
}

void type(Greeting& greeting, char32_t character) {
  // A number typed while the card is chosen can only be the speed.
  const bool digit = character >= U'0' && character <= U'9';
  if (greeting.field == GreetingField::card && digit && greeting.card != SourceKind::rig)
    go_to(greeting, GreetingField::speed);
  if (LineEditor* editor = editor_of(greeting, greeting.field)) {
    editor->type(character);
    greeting.trouble.clear();
  }
}

void drop_file(Greeting& greeting, const std::string& file) {
  choose_card(greeting, SourceKind::recording);
  greeting.path.start(file);
}

std::optional<Choice> choice_of(Greeting& greeting) {
  Choice choice;
  choice.kind = greeting.card;
  const auto& last = greeting.offer.last;
  if (last && last->kind == choice.kind) choice.card = last->card;
  if (choice.kind == SourceKind::rig) return choice;
  if (choice.kind == SourceKind::microphone && greeting.offer.microphones.empty()) {
    greeting.trouble = greeting.offer.microphone_trouble.empty() ? "No microphone is there; plug one in."
                                                                 : greeting.offer.microphone_trouble;
    return std::nullopt;
  }
  if (choice.kind == SourceKind::recording && greeting.path.text().empty()) {
    go_to(greeting, GreetingField::path);
    greeting.trouble = "No file is named; a sound file would be right.";
    return std::nullopt;
  }
  choice.card.override_percent = 100;  // what is typed is what the spindle does
  if (!take(greeting, Field::programmed, GreetingField::speed, greeting.speed, choice.card) ||
      !take(greeting, Field::flutes, GreetingField::flutes, greeting.flutes, choice.card))
    return std::nullopt;
  if (choice.kind == SourceKind::microphone)
    choice.device = greeting.offer.microphones[greeting.microphone];
  else
    choice.file = greeting.path.text();
  return choice;
}

}  // namespace hushmill::dashboard
