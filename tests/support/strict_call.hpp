// Does a piece of code do anything that the audio thread must not do? Asked of the system itself.
//
// The code runs in a child process, behind two nets. A seccomp filter lets no system call through but the end of the process:
// nothing that waits for the kernel, sleeps, yields, writes or reads can hide from it, whichever library makes the call. And
// what makes no system call as long as nobody else is there (a free lock, a piece of memory that the heap still has) is caught
// at its name: linking strict_call.cpp replaces the C library's malloc and lock functions by ones that tell. What waits by
// turning in a loop uses up its time on the processor and is ended.
//
// Why so: a filter needs no rights (`ptrace` does, and is shut off in many containers), sees calls that no interposed name
// sees, and is the same in Debian 12 and 13; a library put before all others would have to be loaded into the sanitizers, too.
// Not for programs under a sanitizer, which have their own malloc and locks.
#pragma once

#include <functional>
#include <string>

namespace hushmill::test {

/// Runs `code` in a child process and says what it did first that it must not: "memory: malloc", "lock: pthread_mutex_lock",
/// "system call 1", "does not come back", "signal 11"; empty when nothing. `beside` is called over and over by a second, unwatched
/// thread meanwhile. Throws std::runtime_error where the system has no such filter.
std::string first_breach(const std::function<void()>& code, const std::function<void()>& beside = {});

}  // namespace hushmill::test
