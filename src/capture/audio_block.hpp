// One block from the sound library to an AudioCall: with the call itself all of ours that runs on the audio thread.
//
// Apart from the library, so that a test can run just this and see that it does nothing that could make that thread wait.
#pragma once

#include <cstddef>

#include "capture/audio_stream.hpp"

namespace hushmill::capture {

/// `input` or `output` is null where the stream has none; each holds `samples` interleaved floats. [audio thread]
inline void pass_block(AudioCall& call, const void* input, void* output, std::size_t samples, bool lost_before) noexcept {
  if (input != nullptr) call.input({static_cast<const float*>(input), samples}, lost_before);
  if (output != nullptr) call.output({static_cast<float*>(output), samples});
}

}  // namespace hushmill::capture
