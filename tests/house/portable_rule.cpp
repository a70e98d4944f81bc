#include "house/portable_rule.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace hushmill::test {
namespace {

constexpr std::string_view kDoor = "platform/platform.cpp";

// Functions of POSIX.1-2017, the GNU C library and Windows that headers of standard C++ may let through. Names of one or
// two common words are here too: a file calls its own all the same.
constexpr std::string_view kSystemCalls[] = {
    "_commit", "_exit", "_open", "_wopen", "accept", "access", "alarm", "asprintf", "bind", "chdir", "chmod", "chown", "clock_gettime",
    "clock_nanosleep", "close", "closedir", "connect", "creat", "daemon", "dladdr", "dlopen", "dlsym", "dprintf", "drand48", "dup", "dup2",
    "execl", "execlp", "execv", "execve", "execvp", "exp10", "faccessat", "fchmod", "fcntl", "fdatasync", "fdopen", "fileno", "flock", "flockfile",
    "fmemopen", "fopencookie", "fork", "fseeko", "fstat", "fsync", "ftello", "ftruncate", "ftw", "funlockfile", "funopen", "getcwd",
    "getegid", "geteuid", "gethostname", "getlogin", "getopt", "getopt_long", "getpid", "getppid", "getpwnam", "getpwuid", "getrandom", "getrlimit",
    "getrusage", "gettid", "gettimeofday", "getuid", "glob", "gmtime_r", "gmtime_s", "index", "ioctl", "isatty", "j0", "j1", "jn", "kill", "killpg",
    "lgamma_r", "link", "listen", "localtime_r", "localtime_s", "lockf", "lrand48", "lseek", "lstat", "madvise", "memfd_create", "memmem",
    "memrchr", "mkdir", "mkdtemp", "mkfifo", "mknod", "mkostemp", "mkstemp", "mlock", "mlockall", "mmap", "mprotect", "msync", "munmap", "nanosleep",
    "nice", "open", "open_memstream", "openat", "opendir", "openlog", "pause", "pclose", "pipe", "pipe2", "poll", "popen", "posix_fadvise",
    "posix_memalign", "posix_spawn", "posix_spawnp", "ppoll", "prctl", "pread", "putenv", "pwrite", "raise_signal", "rand_r", "random", "read",
    "readdir", "readlink", "realpath", "recv", "rmdir", "sbrk", "sched_setaffinity", "sched_setscheduler", "secure_getenv", "select",
    "sem_open", "sem_post", "sem_wait", "send", "setenv", "setlinebuf", "setpriority", "setrlimit", "setsid", "setuid", "shm_open", "sigaction",
    "sigaddset", "sigemptyset", "siglongjmp", "sigprocmask", "sigsetjmp", "sigwait", "sincos", "sleep", "socket", "socketpair", "srand48", "srandom",
    "stat", "statfs", "statvfs", "strcasecmp", "strcasestr", "strchrnul", "strdup", "strerror_r", "strlcat", "strlcpy", "strncasecmp", "strndup",
    "strptime", "strsep", "strsignal", "strtok_r", "strverscmp", "symlink", "sync", "syscall", "sysconf", "sysctl", "sysinfo", "syslog",
    "tcgetattr", "tcsetattr", "tempnam", "timegm", "timelocal", "truncate", "ttyname", "ualarm", "umask", "uname", "unlink", "unsetenv", "usleep",
    "utime", "utimes", "vasprintf", "vfork", "wait", "wait3", "wait4", "waitid", "waitpid", "wordexp", "write"};

// Names that are refused however they are reached: standard functions that ask the system in its own way, types and
// constants of POSIX, and what asks which system or compiler this is.
constexpr std::string_view kNames[] = {
    "getenv", "native_handle", "environ", "errno_t",
    "ssize_t", "off_t", "pid_t", "uid_t", "gid_t", "mode_t", "useconds_t", "suseconds_t", "sigset_t", "u_int", "u_char", "u_long", "ulong", "ushort",
    "STDIN_FILENO", "STDOUT_FILENO", "STDERR_FILENO", "PATH_MAX", "HOST_NAME_MAX", "SIGHUP", "SIGPIPE", "SIGKILL", "SIGUSR1", "SIGUSR2", "SIGCHLD",
    "SIGALRM", "SIGBUS", "SIGTRAP", "SIGWINCH", "MAXFLOAT", "linux", "unix"};
constexpr std::string_view kBeginnings[] = {
    "M_",  // constants of mathematics, which strict Windows does not have; std::numbers has them
    "O_", "S_I", "POSIX_", "_POSIX", "_SC_", "pthread_", "PTHREAD_", "__builtin_", "__attribute", "__declspec", "__int128", "__float128", "__linux",
    "__unix", "__APPLE__", "__MACH__", "__FreeBSD", "__ANDROID", "__GLIBC", "__GNU", "__MINGW", "__clang", "_WIN", "_MSC", "WIN32"};

// Text that names a place which only some systems have.
constexpr std::string_view kPlaces[] = {"/proc", "/dev", "/sys", "/etc", "/tmp", "/usr", "/var", "/home", "/run", "/opt", "/Library", "C:"};

struct Exception {
  std::string_view file, name, why;
};
constexpr std::array kExceptions{
    Exception{"advise/tooth_growth.cpp", "__GNUC__", "one function is compiled a second time for wide registers; elsewhere it is not"},
    Exception{"advise/tooth_growth.cpp", "__builtin_cpu_supports", "as above: asks whether the processor has them"},
    Exception{"advise/tooth_growth.cpp", "_WIN32", "as above: there GCC does not align the stack for them"},
};

struct Token {
  std::string text;  // a name, a text with its first quote in front, or one other character
  int line = 0;
};

bool in_name(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }

/// Names, texts and marks; without comments, and of preprocessor lines without those that include.
std::vector<Token> tokens_of(std::string_view text) {
  std::vector<Token> tokens;
  int line = 1;
  const auto skip_to = [&](std::size_t& at, std::size_t to) {
    to = std::min(to, text.size());
    line += static_cast<int>(std::count(text.begin() + static_cast<std::ptrdiff_t>(at), text.begin() + static_cast<std::ptrdiff_t>(to), '\n'));
    at = to;
  };
  for (std::size_t at = 0; at < text.size();) {
    const char c = text[at];
    const auto rest = text.substr(at);
    if (rest.starts_with("//")) {
      skip_to(at, text.find('\n', at));
    } else if (rest.starts_with("/*")) {
      const auto end = text.find("*/", at + 2);
      skip_to(at, end == std::string_view::npos ? end : end + 2);
    } else if (rest.starts_with("R\"")) {
      const auto open = text.find('(', at);
      const std::string close = ")" + std::string(text.substr(at + 2, open - at - 2)) + "\"";
      const auto end = text.find(close, open);
      tokens.push_back({"\"" + std::string(text.substr(open + 1, end - open - 1)), line});
      skip_to(at, end == std::string_view::npos ? end : end + close.size());
    } else if (c == '"' || c == '\'') {
      std::size_t end = at + 1;
      while (end < text.size() && text[end] != c) end += text[end] == '\\' ? 2U : 1U;
      tokens.push_back({std::string(text.substr(at, end - at)), line});
      skip_to(at, end + 1);
    } else if (in_name(c)) {
      std::size_t end = at + 1;
      // A mark between digits belongs to the number.
      while (end < text.size() && (in_name(text[end]) || (std::isdigit(static_cast<unsigned char>(c)) != 0 && text[end] == '\''))) ++end;
      const auto name = text.substr(at, end - at);
      if (name == "include" && !tokens.empty() && tokens.back().text == "#") {
        skip_to(at, text.find('\n', at));
      } else {
        tokens.push_back({std::string(name), line});
        skip_to(at, end);
      }
    } else {
      if (std::isspace(static_cast<unsigned char>(c)) == 0) tokens.push_back({std::string(1, c), line});
      skip_to(at, at + 1);
    }
  }
  return tokens;
}

bool is_name(const std::string& token) { return !token.empty() && in_name(token[0]) && std::isdigit(static_cast<unsigned char>(token[0])) == 0; }

template <std::size_t N>
bool among(const std::string_view (&names)[N], std::string_view name) {
  return std::find(std::begin(names), std::end(names), name) != std::end(names);
}

enum class Use { none, declared, called, qualified, member };

/// How the name at `at` is used, if a bracket follows it.
Use use_of(const std::vector<Token>& tokens, std::size_t at) {
  static constexpr std::string_view kBeforeCalls[] = {"return", "else", "do", "throw", "case", "co_return", "and", "or", "not", "new", "delete"};
  if (!is_name(tokens[at].text) || at + 1 >= tokens.size() || tokens[at + 1].text != "(") return Use::none;
  const auto before = [&](std::size_t back) { return at >= back ? tokens[at - back].text : std::string(); };
  if (before(1) == "." || (before(1) == ">" && before(2) == "-")) return Use::member;
  if (before(1) == ":" && before(2) == ":") {
    // `Type name::close(` defines our own, `name::close(` calls what is not the system's; `::close(` is the system's.
    if (!is_name(before(3)) && before(3) != ">") return Use::called;
    return is_name(before(4)) && !among(kBeforeCalls, before(4)) ? Use::declared : Use::qualified;
  }
  if ((is_name(before(1)) && !among(kBeforeCalls, before(1))) || before(1) == ">" || before(1) == "~") return Use::declared;
  // `Type& name(` and `Type* name(`, but not `a * name(`: the line before a declaration's type ends.
  if ((before(1) == "&" || before(1) == "*") && is_name(before(2)) &&
      (before(3).empty() || before(3) == ";" || before(3) == "}" || before(3) == "{" || before(3) == "const" || before(3) == ":")) {
    return Use::declared;
  }
  return Use::called;
}

bool excepted(std::string_view path, std::string_view name) {
  return std::any_of(kExceptions.begin(), kExceptions.end(), [&](const Exception& e) { return e.file == path && e.name == name; });
}

std::string trouble_of(std::string_view path, const std::vector<Token>& tokens, std::size_t at, const std::set<std::string>& own) {
  const std::string& text = tokens[at].text;
  if (text[0] == '"') {
    for (const auto place : kPlaces) {
      if (text.compare(1, place.size(), place) != 0) continue;
      if (text.size() == 1 + place.size() || text[1 + place.size()] == '/') return "'" + text.substr(1) + "' is a place of some systems only";
    }
    return {};
  }
  if (!is_name(text) || excepted(path, text)) return {};
  const bool refused = among(kNames, text) || std::any_of(std::begin(kBeginnings), std::end(kBeginnings),
                                                          [&](std::string_view beginning) { return text.starts_with(beginning); });
  const Use use = use_of(tokens, at);
  if (refused && use != Use::member && !own.contains(text)) return text + " asks or means what only some systems have";
  if (text == "system" && (use == Use::called || use == Use::qualified)) return "system is a command of one system";
  if (use == Use::called && among(kSystemCalls, text) && !own.contains(text)) return text + " is a call of some systems only";
  return {};
}

}  // namespace

std::set<std::string> declared_in(std::string_view text) {
  std::set<std::string> names;
  const auto tokens = tokens_of(text);
  for (std::size_t i = 0; i < tokens.size(); ++i)
    if (use_of(tokens, i) == Use::declared) names.insert(tokens[i].text);
  return names;
}

std::vector<std::string> unportable(std::string_view path, std::string_view text, const std::set<std::string>& own) {
  std::vector<std::string> found;
  if (path == kDoor) return found;
  const auto tokens = tokens_of(text);
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    const std::string trouble = trouble_of(path, tokens, i, own);
    if (!trouble.empty())
      found.push_back("src/" + std::string(path) + ":" + std::to_string(tokens[i].line) + ": " + trouble + "; its place is src/" + std::string(kDoor));
  }
  return found;
}

std::vector<std::string> needless_exceptions(std::string_view path, std::string_view text) {
  std::vector<std::string> needless;
  const auto tokens = tokens_of(text);
  for (const Exception& e : kExceptions) {
    if (e.file != path) continue;
    if (std::none_of(tokens.begin(), tokens.end(), [&](const Token& token) { return token.text == e.name; }))
      needless.push_back(std::string(e.file) + " no longer needs " + std::string(e.name));
  }
  return needless;
}

}  // namespace hushmill::test
