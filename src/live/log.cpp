#include "live/log.hpp"

#include <spdlog/async_logger.h>
#include <spdlog/details/thread_pool.h>
#include <spdlog/sinks/rotating_file_sink.h>

#include <algorithm>
#include <cstdlib>

namespace hushmill::live {
namespace {

constexpr std::size_t kFileBytes = 1024 * 1024;
constexpr std::size_t kOlderFiles = 2;
constexpr std::size_t kWaitingLines = 256;

/// As the specification asks: a path that is not absolute counts as not set.
std::optional<std::filesystem::path> folder_from(const char* variable) {
  const char* value = std::getenv(variable);
  if (value == nullptr) return std::nullopt;
  std::filesystem::path folder(value);
  if (!folder.is_absolute()) return std::nullopt;
  return folder;
}

std::string one_line(std::string text) {
  std::replace_if(
      text.begin(), text.end(), [](unsigned char c) { return c < 0x20 || c == 0x7f; }, ' ');
  return text;
}

}  // namespace

std::optional<std::filesystem::path> state_folder() {
  if (const auto state = folder_from("XDG_STATE_HOME")) return *state / "hushmill";
  if (const auto home = folder_from("HOME")) return *home / ".local" / "state" / "hushmill";
  return std::nullopt;
}

struct Log::Parts {
  std::filesystem::path file;
  std::string trouble;
  // The logger only points at the thread that writes, so that thread is kept here, and ends after it.
  std::shared_ptr<spdlog::details::thread_pool> writer;
  std::shared_ptr<spdlog::async_logger> logger;
};

Log::Log(const std::filesystem::path& folder) : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.file = folder / "hushmill.log";
  try {
    if (std::filesystem::create_directories(folder)) {
      std::filesystem::permissions(folder, std::filesystem::perms::owner_all);
    }
    auto sink = std::make_shared<spdlog::sinks::rotating_file_sink_mt>(p.file.string(), kFileBytes, kOlderFiles);
    p.writer = std::make_shared<spdlog::details::thread_pool>(kWaitingLines, 1);
    p.logger = std::make_shared<spdlog::async_logger>("hushmill", std::move(sink), p.writer,
                                                      spdlog::async_overflow_policy::overrun_oldest);
    p.logger->set_pattern("%Y-%m-%d %H:%M:%S.%e %l %v");
    p.logger->flush_on(spdlog::level::info);
    p.logger->set_error_handler([](const std::string&) {});  // a full disk must not spoil the screen
  } catch (const std::exception& failure) {
    p.logger.reset();
    p.trouble = "log '" + p.file.string() + "': nothing is logged (" + one_line(failure.what()) +
                "); a folder with space and write permission would be right";
  }
}

Log::~Log() = default;

void Log::note(const std::string& line) {
  if (parts_->logger) parts_->logger->log(spdlog::level::info, spdlog::string_view_t(one_line(line)));
}

void Log::warn(const std::string& line) {
  if (parts_->logger) parts_->logger->log(spdlog::level::warn, spdlog::string_view_t(one_line(line)));
}

const std::filesystem::path& Log::file() const noexcept { return parts_->file; }
const std::string& Log::trouble() const noexcept { return parts_->trouble; }

}  // namespace hushmill::live
