#include "dashboard/pending.hpp"

namespace hushmill::dashboard {

void foresee(const live::Command& command, live::State& state) {
  if (const auto* change = std::get_if<live::ChangeCard>(&command)) state.card = change->card;
  if (const auto* turn = std::get_if<live::TurnRig>(&command); turn && state.rig) state.rig = turn->controls;
  if (const auto* up = std::get_if<live::TakeUp>(&command)) state.taken_up = up->words();
  if (const auto* tried = std::get_if<live::TakeTried>(&command)) state.tried.assign(tried->trials().begin(), tried->trials().end());
  if (const auto* tag = std::get_if<live::TagPlace>(&command)) state.place = tag->place;
}

void Pending::sent(const live::Command& command, double now_s) {
  if (const auto* change = std::get_if<live::ChangeCard>(&command)) card_ = change->card;
  if (const auto* turn = std::get_if<live::TurnRig>(&command)) controls_ = turn->controls;
  sent_s_ = now_s;
}

void Pending::overlay(live::State& state, double now_s) {
  if (now_s - sent_s_ > kTrustS) {
    card_.reset();
    controls_.reset();
    return;
  }
  if (card_) state.card = *card_;
  if (controls_ && state.rig) state.rig = *controls_;
}

}  // namespace hushmill::dashboard
