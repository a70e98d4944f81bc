#include "dashboard/lesson_view.hpp"

#include <cctype>
#include <cmath>

#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

using listen::Verdict;

Words teeth_sentence(const live::State& state) {
  const double rpm = state.snapshot.measured_rpm.value_or(state.card.entered_rpm());
  Words count = counted(state.card.flutes);
  count.put(0, static_cast<char>(std::toupper(static_cast<unsigned char>(count.front()))));
  const bool one = state.card.flutes == 1;
  return count + (one ? " tooth" : " teeth") + " at " + grouped(rpm) + " rev/min: a tooth " +
         grouped(state.snapshot.tooth_passing_hz, 1) + " times a second.";
}

}  // namespace

LessonView prepare_lesson(const live::State& state, bool doubted) {
  LessonView view;
  const listen::Snapshot& now = state.snapshot;
  const Words teeth = teeth_sentence(state);
  switch (now.verdict) {
    case Verdict::no_cut:
      view.title = "Air";
      view.paragraphs = {"No tooth is in the material. What is heard now is the room; it is learned and set aside.",
                         "Bring the tool into the cut and watch the column at zero of the folded view light up."};
      break;
    case Verdict::steady:
      if (doubted) {
        view.title = "Quiet for the moment";
        view.paragraphs = {teeth + " They are in step now, but at this speed the wave has already fed itself on this cut.",
                           "Where the tool bites wider, as in a corner, the limit depth is smaller: quiet here is no proof for there."};
        break;
      }
      view.title = "In step";
      view.paragraphs = {
          teeth + " Each one leaves the same wave as the one before it, so every line stands on a tooth multiple.",
          "Make the cut deeper by small steps: above a limit depth the wave feeds itself."};
      break;
    case Verdict::forced_vibration:
      view.title = "In step, but ringing";
      view.paragraphs = {
          teeth + " One multiple falls on a natural frequency, so the teeth ring it like a bell.",
          "The vibration is loud but in step. Cure: move the speed so that the multiple leaves the natural "
          "frequency, or push less."};
      break;
    case Verdict::building:
    case Verdict::chatter: {
      view.title =
          now.verdict == Verdict::chatter ? "Each tooth cuts the last one's wave" : "A wave that feeds itself?";
      Words waves;
      if (now.chatter && now.tooth_passing_hz > 0) {
        const double per_tooth = now.chatter->chatter_hz / now.tooth_passing_hz;
        waves = " The tone makes " + grouped(per_tooth, 2) +
                " waves from one tooth to the next: " + grouped(std::floor(per_tooth)) + " whole ones and a piece.";
      }
      view.paragraphs = {
          teeth + waves,
          "The piece is the trouble: the new wave does not fit the old one, the chip swells and thins, and the "
          "force drives the wave on.",
          "Choose a speed at which whole waves fit between the teeth, and the chip stays even."};
      break;
    }
  }
  return view;
}

}  // namespace hushmill::dashboard
