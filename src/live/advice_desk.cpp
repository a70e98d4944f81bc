#include "live/advice_desk.hpp"

#include <exception>
#include <utility>

namespace hushmill::live {

AdviceDesk::AdviceDesk(Adviser adviser) : adviser_(std::move(adviser)), thread_([this] { work(); }) {}

AdviceDesk::~AdviceDesk() {
  closing_ = true;
  ++bell_;
  bell_.notify_one();
  thread_.join();
}

std::uint64_t AdviceDesk::ask(const advise::Question& question) {
  questions_.draft() = {++asked_, question};
  questions_.publish();
  ++bell_;
  bell_.notify_one();
  return asked_;
}

void AdviceDesk::work() {
  std::uint32_t heard = 0;
  Numbered asked;
  while (true) {
    bell_.wait(heard);
    heard = bell_.load();
    if (closing_) return;
    if (!questions_.take(asked)) continue;
    Answer& answer = answers_.draft();
    answer.question = asked.number;
    try {
      answer.advice = adviser_(asked.question);
    } catch (const std::exception& refused) {
      answer.advice = {};
      answer.advice.reason = refused.what();
    }
    answers_.publish();
  }
}

}  // namespace hushmill::live
