// On what and for how long: the processor's name and a clock of processor time.
#pragma once

#include <string>

namespace hushmill::bench {

/// As the system gives it; "unknown processor" where it does not.
std::string processor_name();

/// Seconds of processor time that this process has used, all threads together. Unlike a wall clock it does not count
/// what other programs take, so a one-threaded job shows its cost on one core even on a busy machine.
double processor_seconds();

/// Memory of this process that is in use now, bytes. Throws where the system does not tell.
double resident_bytes();

}  // namespace hushmill::bench
