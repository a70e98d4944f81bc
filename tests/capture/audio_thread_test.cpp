// All that runs on the audio thread neither allocates, locks, makes a system call nor waits; and whoever says so would notice.
#include <fcntl.h>
#include <semaphore.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstdio>
#include <cstdlib>
#include <mutex>
#include <shared_mutex>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "capture/audio_block.hpp"
#include "capture/intake.hpp"
#include "capture/outlet.hpp"
#include "support/catch.hpp"
#include "support/strict_call.hpp"

using namespace hushmill;
using test::Contains;
using test::first_breach;

namespace {

std::string call_number(long number) { return "system call " + std::to_string(number); }

// Where the optimizer cannot see through it.
std::atomic<void*> kept_memory{nullptr};

}  // namespace

TEST_CASE("the checker says nothing of plain arithmetic, copying and counting") {
  std::array<float, 512> from{}, to{};
  std::atomic<int> count{0};
  CHECK(first_breach([&] {
    for (int i = 0; i < 1000; ++i) {
      to = from;
      to[7] += 1;
      from = to;
      count.fetch_add(1);
    }
  }).empty());
  CHECK(first_breach([] {}, [&] { count.fetch_add(1); }).empty());
}

TEST_CASE("the checker catches memory that is taken or given back, though the heap has it at hand") {
  CHECK(first_breach([] { kept_memory = std::malloc(24); }) == "memory: malloc");
  CHECK(first_breach([] { kept_memory = new int[3]; }) == "memory: malloc");
  CHECK(first_breach([] { kept_memory = std::calloc(3, 8); }) == "memory: calloc");
  CHECK_THAT(first_breach([] { kept_memory = ::operator new(64, std::align_val_t(64)); }), Contains("memory: "));
  void* given = std::malloc(24);
  CHECK(first_breach([=] { std::free(given); }) == "memory: free");
  CHECK(first_breach([=] { kept_memory = std::realloc(given, 4096); }) == "memory: realloc");
  std::free(given);
  std::vector<float> grows(4);
  CHECK(first_breach([&] { grows.resize(5000); }) == "memory: malloc");
  CHECK_THAT(first_breach([] {
               try {
                 throw std::runtime_error("a reason that is longer than what a string holds within itself");
               } catch (const std::exception&) {
               }
             }),
             Contains("memory: "));
}

TEST_CASE("the checker catches a lock, though it is free") {
  std::mutex lock;
  CHECK(first_breach([&] { const std::lock_guard locked(lock); }) == "lock: pthread_mutex_lock");
  CHECK(first_breach([&] { if (lock.try_lock()) lock.unlock(); }) == "lock: pthread_mutex_trylock");
  std::shared_mutex shared;
  CHECK(first_breach([&] { const std::shared_lock locked(shared); }) == "lock: pthread_rwlock_rdlock");
  CHECK(first_breach([&] { const std::unique_lock locked(shared); }) == "lock: pthread_rwlock_wrlock");
  std::condition_variable news;
  CHECK_FALSE(first_breach([&] { news.notify_one(); }).empty());
  CHECK_FALSE(first_breach([&] { news.notify_all(); }).empty());
  sem_t semaphore;
  sem_init(&semaphore, 0, 1);
  CHECK(first_breach([&] { sem_wait(&semaphore); }) == "lock: sem_wait");
  CHECK(first_breach([&] { sem_post(&semaphore); }) == "lock: sem_post");
  std::once_flag once;
  CHECK_FALSE(first_breach([&] { std::call_once(once, [] {}); }).empty());
}

TEST_CASE("the checker catches whatever waits, sleeps, yields, turns in a loop, writes or opens") {
  CHECK_THAT(first_breach([] { std::this_thread::sleep_for(std::chrono::microseconds(1)); }), Contains("system call "));
  CHECK(first_breach([] { std::this_thread::yield(); }) == call_number(SYS_sched_yield));
  CHECK(first_breach([] { [[maybe_unused]] const auto written = write(2, "x", 1); }) == call_number(SYS_write));
  CHECK(first_breach([] { std::printf("x"); }) == call_number(SYS_write));
  CHECK(first_breach([] { std::fputs("x", stderr); }) == call_number(SYS_write));
  CHECK(first_breach([] { [[maybe_unused]] const int file = open("/dev/null", O_RDONLY); }) == call_number(SYS_openat));
  CHECK(first_breach([] { syscall(SYS_getpid); }) == call_number(SYS_getpid));  // not by any name that could be replaced
  std::atomic<int> flag{0};
  CHECK(first_breach([&] { flag.notify_one(), flag.wait(0); }) != "");
  CHECK(first_breach([&] { while (flag.load() == 0) {} }) == "does not come back");
  CHECK(first_breach([] { std::abort(); }) != "");
}

TEST_CASE("on the audio thread, a microphone's block goes into the ring and nothing else happens") {
  for (const int channels : {1, 2}) {
    CAPTURE(channels);
    capture::Intake intake(channels, 4096);
    intake.watch_sides(48000, capture::Channel::mix);
    std::vector<float> block(960);
    std::array<float, 600> mono{};
    const auto input = [&](int i) { capture::pass_block(intake, block.data(), nullptr, block.size() - static_cast<std::size_t>(i % 3), i % 7 == 0); };
    // Nobody listens: the ring fills, overflows, and so does the one for the marks.
    CHECK(first_breach([&] { for (int i = 0; i < 2000; ++i) input(i); }) == "");
    // Somebody listens, as fast as it goes, and now and then not at all.
    std::atomic<unsigned> turns{0};
    const auto listen = [&] {
      if (turns.fetch_add(1) % 64 < 32) intake.pop(mono, capture::Channel::mix);
      intake.take_gap();
    };
    CHECK(first_breach([&] { for (int i = 0; i < 200000; ++i) input(i); }, listen) == "");
  }
}

TEST_CASE("on the audio thread, a loudspeaker's block comes from the ring and nothing else happens") {
  capture::Outlet outlet(2, 4096);
  std::vector<float> block(960);
  const std::vector<float> sound(480);
  const auto play = [&] { capture::pass_block(outlet, nullptr, block.data(), block.size(), false); };
  CHECK(first_breach([&] { for (int i = 0; i < 2000; ++i) play(); }) == "");  // dry
  CHECK(first_breach([&] { for (int i = 0; i < 200000; ++i) play(); }, [&] { outlet.push(sound); }) == "");
}

TEST_CASE("a call that takes neither input nor output, as it comes, does nothing else either") {
  capture::AudioCall call;
  std::array<float, 64> block{};
  CHECK(first_breach([&] { capture::pass_block(call, block.data(), block.data(), block.size(), true); }) == "");
}
