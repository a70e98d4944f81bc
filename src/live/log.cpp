#include "live/log.hpp"

#include <spdlog/logger.h>
#include <spdlog/sinks/rotating_file_sink.h>

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <mutex>
#include <thread>
#include <utility>
#include <vector>

#include "text/outside_text.hpp"
#include "journal/folders.hpp"
#include "platform/platform.hpp"

namespace hushmill::live {
namespace {

constexpr std::size_t kFileBytes = std::size_t{1024} * 1024;
constexpr std::size_t kOlderFiles = 2;
constexpr std::size_t kWaitingLines = 1000;

using Level = spdlog::level::level_enum;

struct Line {
  std::chrono::system_clock::time_point when;
  Level level;
  std::string text;
};

std::string one_line(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text::plain_line(text);
}

}  // namespace

std::optional<std::filesystem::path> state_folder() {
  if (const auto home = platform::state_home()) return *home / "hushmill";
  return std::nullopt;
}

struct Log::Parts {
  std::filesystem::path file;
  std::string trouble;
  std::unique_ptr<spdlog::logger> logger;  // once the thread runs, its alone

  std::mutex mutex;
  std::condition_variable bell;
  std::vector<Line> waiting;
  std::size_t dropped = 0;
  bool closing = false;
  std::thread thread;  // last, so that the rest is there before it begins

  void open(const std::filesystem::path& folder);
  void push(Level level, const std::string& text);
  void work();
};

void Log::Parts::open(const std::filesystem::path& folder) {
  journal::make_private_folder(folder);
  // What older versions left, and each new file before a line is in it.
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.is_regular_file() && entry.path().extension() == file.extension()) platform::make_own_file(entry.path());
  }
  spdlog::file_event_handlers own;
  own.before_open = [](const spdlog::filename_t& name) { platform::make_own_file(name); };
  logger = std::make_unique<spdlog::logger>(
      "hushmill", std::make_shared<spdlog::sinks::rotating_file_sink_st>(file.string(), kFileBytes, kOlderFiles, false, own));
  logger->set_pattern("%Y-%m-%d %H:%M:%S.%e %l %v");
  logger->set_error_handler([](const std::string&) {});  // a full disk must not spoil the screen
}

void Log::Parts::push(Level level, const std::string& text) {
  if (!thread.joinable()) return;
  {
    const std::lock_guard lock(mutex);
    if (waiting.size() >= kWaitingLines) {
      ++dropped;
      return;
    }
    waiting.push_back({std::chrono::system_clock::now(), level, text});
  }
  bell.notify_one();
}

void Log::Parts::work() {
  std::vector<Line> lines;
  bool last_round = false;
  while (!last_round) {
    std::size_t missing = 0;
    {
      std::unique_lock lock(mutex);
      bell.wait(lock, [this] { return closing || !waiting.empty(); });
      lines.swap(waiting);
      missing = std::exchange(dropped, 0);
      last_round = closing;
    }
    for (const Line& line : lines) {
      logger->log(line.when, spdlog::source_loc{}, line.level, spdlog::string_view_t(one_line(line.text)));
    }
    if (missing > 0) logger->warn("{} lines came too fast and were dropped", missing);
    logger->flush();
    lines.clear();
  }
}

Log::Log(const std::filesystem::path& folder) : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.file = folder / "hushmill.log";
  try {
    p.open(folder);
    p.thread = std::thread([&p] { p.work(); });
  } catch (const std::exception& failure) {
    p.trouble = "log '" + p.file.string() + "': nothing is logged (" + one_line(failure.what()) +
                "); a folder with space and write permission would be right";
  }
}

Log::~Log() {
  if (!parts_->thread.joinable()) return;
  {
    const std::lock_guard lock(parts_->mutex);
    parts_->closing = true;
  }
  parts_->bell.notify_one();
  parts_->thread.join();
}

void Log::note(const std::string& line) { parts_->push(spdlog::level::info, line); }
void Log::warn(const std::string& line) { parts_->push(spdlog::level::warn, line); }

const std::filesystem::path& Log::file() const noexcept { return parts_->file; }
const std::string& Log::trouble() const noexcept { return parts_->trouble; }

}  // namespace hushmill::live
