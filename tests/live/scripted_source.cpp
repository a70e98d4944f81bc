#include "live/scripted_source.hpp"

namespace hushmill::test {

std::size_t ScriptedSource::read(std::span<float> samples) {
  if (script_.fails) throw std::runtime_error("the disk caught fire");
  const std::size_t count = std::min(samples.size(), script_.sound.size() - script_.at);
  std::copy_n(script_.sound.begin() + static_cast<std::ptrdiff_t>(script_.at), count, samples.begin());
  script_.at += count;
  return count;
}

bool ScriptedSource::reopen() {
  ++script_.reopen_calls;
  if (!script_.back_on_reopen) return false;
  script_.ended = false;
  script_.trouble.clear();
  return true;
}

}  // namespace hushmill::test
