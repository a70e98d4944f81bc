// no_network PROGRAM WORD...: runs the program, and the kernel ends it (SIGSYS) as soon as it, or a library in it, asks for a
// socket that is not of this machine alone (AF_UNIX). Without words it asks for one itself, so that a test can see the
// filter bite. Seccomp needs no privileges once no new ones can be had (Linux, seccomp(2)).
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <netinet/in.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <array>
#include <cstddef>
#include <cstdio>

int main(int, char** argv) {
  std::array<sock_filter, 6> steps{{
      BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr)),
      BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, SYS_socket, 0, 3),
      BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, args)),  // its low half, where the machine is little-endian
      BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, AF_UNIX, 1, 0),
      BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_KILL_PROCESS),
      BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW),
  }};
  const sock_fprog filter{static_cast<unsigned short>(steps.size()), steps.data()};
  if (prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0 || prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter) != 0) {
    std::perror("no_network");
    return 126;
  }
  if (argv[1] == nullptr) return socket(AF_INET, SOCK_STREAM, 0) >= 0 ? 0 : 1;
  execvp(argv[1], argv + 1);
  std::perror(argv[1]);
  return 127;
}
