// Asks the adviser on a thread of its own, so that listening never waits for an answer.
//
// Only the newest question counts: one that was overtaken while the desk was busy is never answered. Nobody waits but
// the desk itself.
#pragma once

#include <atomic>
#include <cstdint>
#include <functional>
#include <thread>

#include "advise/advice.hpp"
#include "realtime/latest.hpp"

namespace hushmill::live {

class AdviceDesk {
 public:
  using Adviser = std::function<advise::Advice(const advise::Question&)>;

  struct Answer {
    std::uint64_t question = 0;  ///< the number that ask() gave
    advise::Advice advice;       ///< with the adviser's own words as the reason when the question made no sense
  };

  explicit AdviceDesk(Adviser adviser = &advise::advise);
  /// Waits for the answer under way, if any.
  ~AdviceDesk();
  AdviceDesk(const AdviceDesk&) = delete;
  AdviceDesk& operator=(const AdviceDesk&) = delete;

  /// Numbers count from 1. [one thread]
  std::uint64_t ask(const advise::Question& question);
  /// The newest answer, once; false when there is none newer. [the same thread]
  bool take(Answer& answer) { return answers_.take(answer); }

 private:
  struct Numbered {
    std::uint64_t number = 0;
    advise::Question question;
  };

  void work();

  Adviser adviser_;
  realtime::Latest<Numbered> questions_;
  realtime::Latest<Answer> answers_;
  std::uint64_t asked_ = 0;
  std::atomic<std::uint32_t> bell_{0};
  std::atomic<bool> closing_{false};
  std::thread thread_;
};

}  // namespace hushmill::live
