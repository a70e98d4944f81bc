#include "support/strict_call.hpp"

#include <dlfcn.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <pthread.h>
#include <semaphore.h>
#include <signal.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstddef>
#include <cstdio>
#include <stdexcept>
#include <thread>

namespace {

/// What the child tells the parent, in memory of both: telling must not be a system call itself.
struct Told {
  std::atomic<const char*> name{nullptr};  // a literal: at the same place in both
  std::atomic<int> system_call{-1};
  std::atomic<bool> no_filter{false}, late{false}, done{false};
};
Told* told = nullptr;
thread_local bool watched = false;

constexpr rlim_t kMostProcessorS = 5;

[[noreturn]] void leave() { syscall(SYS_exit_group, 0), __builtin_unreachable(); }

void tell(const char* name) noexcept {
  if (!watched) return;
  told->name.store(name);
  leave();
}

void on_system_call(int, siginfo_t* info, void*) {
  told->system_call.store(info->si_syscall);
  leave();
}

void on_no_time_left(int) {
  told->late.store(true);
  leave();
}

/// For the calling thread only, and for good.
bool let_nothing_through() {
  sock_filter rules[] = {{BPF_LD | BPF_W | BPF_ABS, 0, 0, offsetof(seccomp_data, nr)},
                         {BPF_JMP | BPF_JEQ | BPF_K, 0, 1, SYS_exit_group},
                         {BPF_RET | BPF_K, 0, 0, SECCOMP_RET_ALLOW},
                         {BPF_RET | BPF_K, 0, 0, SECCOMP_RET_TRAP}};
  const sock_fprog filter{static_cast<unsigned short>(std::size(rules)), rules};
  return prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 && prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter) == 0;
}

[[noreturn]] void run_child(const std::function<void()>& code, const std::function<void()>& beside) {
  setvbuf(stdout, nullptr, _IONBF, 0);  // so that printing is a system call at once
  const rlimit limit{kMostProcessorS, kMostProcessorS + 5};
  setrlimit(RLIMIT_CPU, &limit);
  signal(SIGXCPU, on_no_time_left);
  struct sigaction caught {};
  caught.sa_sigaction = on_system_call;
  caught.sa_flags = SA_SIGINFO;
  sigaction(SIGSYS, &caught, nullptr);
  std::atomic<bool> runs{!beside};
  std::thread other;
  if (beside) {
    other = std::thread([&] {
      runs.store(true);
      while (true) beside();
    });
  }
  while (!runs.load()) std::this_thread::yield();
  if (!let_nothing_through()) {
    told->no_filter.store(true);
    _exit(0);
  }
  watched = true;
  code();
  watched = false;
  told->done.store(true);
  leave();
}

template <typename Function>
Function* real(Function*& known, const char* name) noexcept {
  if (known == nullptr) known = reinterpret_cast<Function*>(dlsym(RTLD_NEXT, name));
  return known;
}

}  // namespace

namespace hushmill::test {

std::string first_breach(const std::function<void()>& code, const std::function<void()>& beside) {
  void* shared = mmap(nullptr, sizeof(Told), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  if (shared == MAP_FAILED) throw std::runtime_error("no memory to share with a child process");
  told = new (shared) Told;
  std::fflush(nullptr);  // or the child would print it, too
  const pid_t child = fork();
  if (child < 0) throw std::runtime_error("no child process can be made");
  if (child == 0) run_child(code, beside);
  int status = 0;
  while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  std::string breach;
  const bool no_filter = told->no_filter;
  if (const char* name = told->name) {
    breach = name;
  } else if (told->system_call >= 0) {
    breach = "system call " + std::to_string(told->system_call);
  } else if (told->late) {
    breach = "does not come back";
  } else if (WIFSIGNALED(status)) {
    breach = "signal " + std::to_string(WTERMSIG(status));
  } else if (!told->done) {
    breach = "ended the process";
  }
  munmap(shared, sizeof(Told));
  if (no_filter) throw std::runtime_error("this system has no seccomp filters, or forbids them; a kernel with them would be right");
  return breach;
}

}  // namespace hushmill::test

// The C library's own, under the names that it gives them for this.
extern "C" {
void* __libc_malloc(std::size_t);
void* __libc_calloc(std::size_t, std::size_t);
void* __libc_realloc(void*, std::size_t);
void* __libc_memalign(std::size_t, std::size_t);
void __libc_free(void*);

void* malloc(std::size_t size) noexcept {
  tell("memory: malloc");
  return __libc_malloc(size);
}
void* calloc(std::size_t count, std::size_t size) noexcept {
  tell("memory: calloc");
  return __libc_calloc(count, size);
}
void* realloc(void* memory, std::size_t size) noexcept {
  tell("memory: realloc");
  return __libc_realloc(memory, size);
}
void* aligned_alloc(std::size_t alignment, std::size_t size) noexcept {
  tell("memory: aligned_alloc");
  return __libc_memalign(alignment, size);
}
void* memalign(std::size_t alignment, std::size_t size) noexcept {
  tell("memory: memalign");
  return __libc_memalign(alignment, size);
}
int posix_memalign(void** memory, std::size_t alignment, std::size_t size) noexcept {
  tell("memory: posix_memalign");
  *memory = __libc_memalign(alignment, size);
  return *memory == nullptr ? ENOMEM : 0;
}
void free(void* memory) noexcept {
  if (memory != nullptr) tell("memory: free");
  __libc_free(memory);
}

int pthread_mutex_lock(pthread_mutex_t* lock) noexcept {
  tell("lock: pthread_mutex_lock");
  static decltype(pthread_mutex_lock)* own;
  return real(own, "pthread_mutex_lock")(lock);
}
int pthread_mutex_trylock(pthread_mutex_t* lock) noexcept {
  tell("lock: pthread_mutex_trylock");
  static decltype(pthread_mutex_trylock)* own;
  return real(own, "pthread_mutex_trylock")(lock);
}
int pthread_mutex_timedlock(pthread_mutex_t* lock, const timespec* until) noexcept {
  tell("lock: pthread_mutex_timedlock");
  static decltype(pthread_mutex_timedlock)* own;
  return real(own, "pthread_mutex_timedlock")(lock, until);
}
int pthread_mutex_unlock(pthread_mutex_t* lock) noexcept {
  tell("lock: pthread_mutex_unlock");
  static decltype(pthread_mutex_unlock)* own;
  return real(own, "pthread_mutex_unlock")(lock);
}
int pthread_rwlock_rdlock(pthread_rwlock_t* lock) noexcept {
  tell("lock: pthread_rwlock_rdlock");
  static decltype(pthread_rwlock_rdlock)* own;
  return real(own, "pthread_rwlock_rdlock")(lock);
}
int pthread_rwlock_wrlock(pthread_rwlock_t* lock) noexcept {
  tell("lock: pthread_rwlock_wrlock");
  static decltype(pthread_rwlock_wrlock)* own;
  return real(own, "pthread_rwlock_wrlock")(lock);
}
int pthread_spin_lock(pthread_spinlock_t* lock) noexcept {
  tell("lock: pthread_spin_lock");
  static decltype(pthread_spin_lock)* own;
  return real(own, "pthread_spin_lock")(lock);
}
int pthread_cond_signal(pthread_cond_t* condition) noexcept {
  tell("lock: pthread_cond_signal");
  static decltype(pthread_cond_signal)* own;
  return real(own, "pthread_cond_signal")(condition);
}
int pthread_cond_broadcast(pthread_cond_t* condition) noexcept {
  tell("lock: pthread_cond_broadcast");
  static decltype(pthread_cond_broadcast)* own;
  return real(own, "pthread_cond_broadcast")(condition);
}
int pthread_cond_wait(pthread_cond_t* condition, pthread_mutex_t* lock) {
  tell("lock: pthread_cond_wait");
  static decltype(pthread_cond_wait)* own;
  return real(own, "pthread_cond_wait")(condition, lock);
}
int pthread_once(pthread_once_t* once, void (*code)()) {
  tell("lock: pthread_once");
  static decltype(pthread_once)* own;
  return real(own, "pthread_once")(once, code);
}
int sem_wait(sem_t* semaphore) {
  tell("lock: sem_wait");
  static decltype(sem_wait)* own;
  return real(own, "sem_wait")(semaphore);
}
int sem_post(sem_t* semaphore) noexcept {
  tell("lock: sem_post");
  static decltype(sem_post)* own;
  return real(own, "sem_post")(semaphore);
}
}
