#include "live/advice_desk.hpp"

#include <atomic>
#include <chrono>
#include <stdexcept>
#include <thread>

#include "support/catch.hpp"

using namespace hushmill;
using live::AdviceDesk;
using std::chrono::milliseconds;

namespace {

AdviceDesk::Answer wait_for_answer(AdviceDesk& desk) {
  AdviceDesk::Answer answer;
  for (int i = 0; i < 5000 && !desk.take(answer); ++i) std::this_thread::sleep_for(milliseconds(1));
  return answer;
}

advise::Question question(double chatter_hz) {
  advise::Question asked;
  asked.chatter_hz = chatter_hz;
  return asked;
}

}  // namespace

TEST_CASE("an answer carries the number of its question") {
  AdviceDesk desk([](const advise::Question& asked) {
    advise::Advice advice;
    advice.reason = std::to_string(static_cast<int>(asked.chatter_hz));
    return advice;
  });
  for (const int hz : {500, 900, 1300}) {
    const auto number = desk.ask(question(hz));
    const auto answer = wait_for_answer(desk);
    CHECK(answer.question == number);
    CHECK(answer.advice.reason == std::to_string(hz));
  }
  AdviceDesk::Answer none;
  CHECK_FALSE(desk.take(none));
}

TEST_CASE("while the desk is busy nobody waits, and only the newest question is answered next") {
  std::atomic<bool> let_go{false};
  std::atomic<int> answered{0};
  AdviceDesk desk([&](const advise::Question& asked) {
    while (!let_go) std::this_thread::sleep_for(milliseconds(1));
    ++answered;
    advise::Advice advice;
    advice.reason = std::to_string(static_cast<int>(asked.chatter_hz));
    return advice;
  });
  desk.ask(question(1));
  std::this_thread::sleep_for(milliseconds(30));  // the desk is at it now
  std::uint64_t last = 0;
  for (int hz = 2; hz <= 50; ++hz) last = desk.ask(question(hz));
  AdviceDesk::Answer answer;
  CHECK_FALSE(desk.take(answer));
  let_go = true;
  while (answer.question != last) answer = wait_for_answer(desk);
  CHECK(answer.advice.reason == "50");
  CHECK(answered <= 3);
}

TEST_CASE("a question that the adviser refuses is answered with the adviser's words") {
  AdviceDesk desk(
      [](const advise::Question&) -> advise::Advice { throw std::invalid_argument("flutes is 0; 1 to 64"); });
  desk.ask(question(1000));
  const auto answer = wait_for_answer(desk);
  CHECK(answer.advice.reason == "flutes is 0; 1 to 64");
  CHECK_FALSE(answer.advice.lower.has_value());
}

TEST_CASE("a desk closes at once when nothing was asked") {
  for (int i = 0; i < 200; ++i) AdviceDesk desk;
  SUCCEED("closed");
}
