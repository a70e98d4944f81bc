#include "lessons/account.hpp"

#include <algorithm>
#include <cmath>

#include "lessons/controls.hpp"

namespace hushmill::lessons {
namespace {

std::string stands_at(const Control& control) {
  if (!control.choices.empty())
    return control.name + ": " + control.choices[static_cast<std::size_t>(std::lround(control.value))];
  return control.name + ": " + shown(control.value, control.decimals) +
         (control.unit.empty() ? "" : " " + control.unit);
}

const char* plainly(listen::Verdict verdict) {
  switch (verdict) {
    case listen::Verdict::no_cut:
      return "no cut";
    case listen::Verdict::steady:
      return "steady cut";
    case listen::Verdict::forced_vibration:
      return "in step with the teeth, but loud";
    case listen::Verdict::building:
      return "chatter may be building";
    case listen::Verdict::chatter:
      return "chatter";
  }
  return "";
}

}  // namespace

Account::Account(const Scene& scene) : from_s_(scene.t_s), to_s_(scene.t_s) {
  lines_.push_back("Hushmill lesson: " + std::string(title(scene.name)));
  lines_.push_back("Simulated; scenario and data invented. What \"the engine\" says was heard from this sound alone.");
  lines_.push_back("");
  for (const Control& control : scene.controls) add(scene, stands_at(control));
  for (const Task& task : scene.tasks) solved_.push_back(task.solved);
  if (scene.heard) verdict_ = scene.heard->verdict;
}

void Account::add(const Scene& scene, const std::string& what) {
  std::string at = shown(scene.t_s - from_s_, 2);
  at.insert(0, at.size() < 8 ? 8 - at.size() : 0, ' ');
  lines_.push_back(at + " s  " + what);
}

void Account::turned(const Scene& scene, std::size_t control) {
  if (control < scene.controls.size()) add(scene, stands_at(scene.controls[control]));
}

void Account::done(const Scene& scene, std::size_t deed) {
  if (deed < scene.deeds.size()) add(scene, scene.deeds[deed]);
}

void Account::slowed(const Scene& scene, double times) {
  const std::string n = shown(times);
  add(scene, times > 1
                 ? "Time slowed " + n +
                       " times for the class; this recording keeps the lesson's own time: what is 1 s here took " + n +
                       " s to watch"
                 : "Time at its own speed");
}

void Account::look(const Scene& scene) {
  to_s_ = scene.t_s;
  if (scene.heard && scene.heard->verdict != verdict_) {
    verdict_ = scene.heard->verdict;
    add(scene, "The engine: " + std::string(plainly(verdict_)) +
                   (scene.heard->chatter_hz ? ", " + shown(*scene.heard->chatter_hz) + " Hz" : ""));
  }
  for (std::size_t i = 0; i < std::min(solved_.size(), scene.tasks.size()); ++i) {
    if (scene.tasks[i].solved && !solved_[i])
      add(scene, "Answered: " + scene.tasks[i].question + " " + scene.tasks[i].found);
    solved_[i] = scene.tasks[i].solved;
  }
}

std::string Account::text() const {
  std::string all;
  for (const std::string& line : lines_) all += line + "\n";
  std::string at = shown(to_s_ - from_s_, 2);
  at.insert(0, at.size() < 8 ? 8 - at.size() : 0, ' ');
  return all + at + " s  End\n";
}

}  // namespace hushmill::lessons
