#include "support/sound_server.hpp"

#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <stdexcept>
#include <thread>

namespace hushmill::test {
namespace {

bool can_connect(const std::string& path) {
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  if (path.size() >= sizeof(address.sun_path)) return false;
  std::memcpy(address.sun_path, path.c_str(), path.size() + 1);
  const int door = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
  const bool reached = connect(door, reinterpret_cast<const sockaddr*>(&address), sizeof(address)) == 0;
  close(door);
  return reached;
}

}  // namespace

SoundServer::SoundServer(Pace pace) : pace_(pace) {
  for (const char* name : {"run", "home", "config", "state"}) {
    std::filesystem::create_directory(folder_ / name);
    std::filesystem::permissions(folder_ / name, std::filesystem::perms::owner_all);
  }
  std::ofstream alsa(folder_ / "asound.conf");
  for (const auto& [name, device] : {std::pair{kMicrophone, "bench.monitor"}, std::pair{kLoudspeaker, "bench"}}) {
    alsa << "pcm." << name << " { type pulse server \"unix:" << socket() << "\" device \"" << device
         << "\" hint { show on description \"" << name << "\" } }\n";
  }
  // PortAudio 19.6 aborts where no device is called "default".
  alsa << "pcm.!default { type pulse server \"unix:" << socket() << "\" }\n";
  alsa.close();
  start();
}

SoundServer::~SoundServer() { stop(); }

std::string SoundServer::socket() const { return (folder_ / "run" / "socket").string(); }

std::vector<std::pair<std::string, std::string>> SoundServer::environment() const {
  return {{"ALSA_CONFIG_PATH", (folder_ / "asound.conf").string()},
          {"PULSE_SERVER", "unix:" + socket()},
          {"PULSE_RUNTIME_PATH", (folder_ / "run").string()},
          {"PULSE_STATE_PATH", (folder_ / "state").string()},
          {"XDG_RUNTIME_DIR", (folder_ / "run").string()},
          {"XDG_CONFIG_HOME", (folder_ / "config").string()},
          {"HOME", (folder_ / "home").string()},
          {"DBUS_SESSION_BUS_ADDRESS", "disabled:"}};
}

std::string SoundServer::sink(int rate_hz) const {
  return "sink_name=bench channels=1 format=float32le rate=" + std::to_string(rate_hz) +
         (pace_ == Pace::prompt ? " norewinds=1" : "");
}

void SoundServer::use_here() const {
  for (const auto& [key, value] : environment()) setenv(key.c_str(), value.c_str(), 1);
}

void SoundServer::start() {
  auto settings = environment();
  std::erase_if(settings, [](const auto& setting) { return setting.first == "PULSE_SERVER"; });
  const std::filesystem::path log = folder_ / "log";
  server_ = ChildProcess(ChildCommand{
      {"pulseaudio", "-n", "--daemonize=no", "--use-pid-file=no", "--exit-idle-time=-1", "--disable-shm=yes",
       "--high-priority=no", "--realtime=no", "--log-level=notice", "--log-target=stderr", "-L",
       "module-null-sink " + sink(48000), "-L",
       "module-native-protocol-unix auth-anonymous=1 socket=" + socket()},
      settings,
      log});
  const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(15);
  while (!can_connect(socket())) {
    if (!server_.running() || std::chrono::steady_clock::now() > until) {
      const auto bytes = file_bytes(log);
      const std::string text(bytes.begin(), bytes.end());
      throw std::runtime_error("the test's PulseAudio server did not start (third_party/packages.sh installs it): " +
                               text);
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  }
}

void SoundServer::stop() {
  server_.end();
  std::error_code ignored;
  std::filesystem::remove(socket(), ignored);
}

ChildProcess SoundServer::play(const std::filesystem::path& file) const {
  return ChildProcess(ChildCommand{{"paplay", "--device=bench", file.string()}, environment(), folder_ / "play.log"});
}

void SoundServer::tell(const std::vector<std::string>& words) const {
  const std::filesystem::path log = folder_ / "told.log";
  const auto code = ChildProcess(ChildCommand{words, environment(), log}).wait(std::chrono::seconds(10));
  if (code == 0) return;
  const auto bytes = file_bytes(log);
  throw std::runtime_error(words.front() + " failed: " + std::string(bytes.begin(), bytes.end()));
}

void SoundServer::suspend(bool asleep) const { tell({"pactl", "suspend-sink", "bench", asleep ? "1" : "0"}); }

void SoundServer::lend(std::chrono::seconds time) {
  borrower_ = ChildProcess(ChildCommand{{"pasuspender", "--", "sleep", std::to_string(time.count())}, environment(), folder_ / "lent.log"});
}

void SoundServer::take_back() {
  if (borrower_.wait(std::chrono::seconds(20)) != 0) throw std::runtime_error("pasuspender did not give the devices back");
}

void SoundServer::unplug() const { tell({"pactl", "unload-module", "module-null-sink"}); }

void SoundServer::plug_in(int rate_hz) const {
  tell({"pactl", "load-module", "module-null-sink", sink(rate_hz)});
}

}  // namespace hushmill::test
