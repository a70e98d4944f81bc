// libsndfile, closed by itself. Only recording.cpp and recording_writer.cpp may include this file.
#pragma once

#include <sndfile.h>

#include <memory>

namespace hushmill::capture {

struct CloseSoundFile {
  void operator()(SNDFILE* file) const noexcept { sf_close(file); }
};
using SoundFile = std::unique_ptr<SNDFILE, CloseSoundFile>;

}  // namespace hushmill::capture
