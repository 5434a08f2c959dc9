/*
 * Calls that change a disk or speak to a server > the same calls, one of which fails or kills the process.
 *
 * Loaded before the C library (LD_PRELOAD), so that SQLite, libpq and Python meet the same faults. Only calls on the
 * watched folder, and on sockets, are counted. A server is told by a control file instead, because it forks.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

enum { NOTHING, KILL_BEFORE, KILL_AFTER, TORN, FULL, NO_SYNC };

static char folder[4096];
static int what, at, count, syncs;

/* Watch a folder; from the n-th counted call on (1 is the first) do `fault`. FULL and NO_SYNC last, as a disk's do. */
void fault_arm(const char *where, int fault, int n) {
    strncpy(folder, where, sizeof folder - 1);
    what = fault;
    at = n;
    count = syncs = 0;
}
int fault_count(void) { return count; }
int fault_syncs(void) { return syncs; }

static int inside(const char *path) { return folder[0] && path && strncmp(path, folder, strlen(folder)) == 0; }

static int watched(int fd) {
    char link[64], path[4096];
    if (!folder[0]) return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0) return 0;
    path[length] = 0;
    return inside(path) || strncmp(path, "socket:", 7) == 0;
}

__attribute__((constructor)) static void begin(void) {
    const char *root = getenv("FAULT_ROOT");
    if (root) strncpy(folder, root, sizeof folder - 1);
}

/* A server's fault stands in a file: "full" or "nosync". */
static int told(void) {
    static const char *control;
    if (!control) control = getenv("FAULT_CONTROL");
    if (!control) return NOTHING;
    int (*open_)(const char *, int, ...) = dlsym(RTLD_NEXT, "open");
    int fd = open_(control, O_RDONLY);
    char word[16] = "";
    if (fd < 0) return NOTHING;
    ssize_t length = read(fd, word, sizeof word - 1);
    close(fd);
    if (length <= 0) return NOTHING;
    return strncmp(word, "full", 4) == 0 ? FULL : strncmp(word, "nosync", 6) == 0 ? NO_SYNC : NOTHING;
}

static void die(void) { kill(getpid(), SIGKILL); pause(); }

/* Give the errno of this call, or 0; kills where the fault says so. */
static int before(int is_sync) {
    int server = told();
    if (server == FULL) return is_sync ? 0 : ENOSPC;
    if (server == NO_SYNC) return is_sync ? EIO : 0;
    count++;
    syncs += is_sync;
    if (what == KILL_BEFORE && count == at) die();
    if (what == FULL && !is_sync && count >= at) return ENOSPC;
    if (what == NO_SYNC && is_sync && syncs >= at) return EIO;
    return 0;
}
static void after(void) { if (what == KILL_AFTER && count == at) die(); }
static int torn(void) { return what == TORN && count == at; }

#define REAL(type, name, ...) static type (*real)(__VA_ARGS__); if (!real) real = dlsym(RTLD_NEXT, #name)
#define FAIL(is_sync) do { int error = before(is_sync); if (error) { errno = error; return -1; } } while (0)

ssize_t write(int fd, const void *from, size_t size) {
    REAL(ssize_t, write, int, const void *, size_t);
    if (!watched(fd)) return real(fd, from, size);
    FAIL(0);
    if (torn()) { real(fd, from, size / 2); die(); }
    ssize_t done = real(fd, from, size); after(); return done;
}
static ssize_t placed(ssize_t (*real)(int, const void *, size_t, off_t), int fd, const void *from, size_t size, off_t to) {
    if (!watched(fd)) return real(fd, from, size, to);
    FAIL(0);
    if (torn()) { real(fd, from, size / 2, to); die(); }
    ssize_t done = real(fd, from, size, to); after(); return done;
}
ssize_t pwrite(int fd, const void *from, size_t size, off_t to) {
    REAL(ssize_t, pwrite, int, const void *, size_t, off_t); return placed(real, fd, from, size, to);
}
ssize_t pwrite64(int fd, const void *from, size_t size, off_t to) {
    REAL(ssize_t, pwrite64, int, const void *, size_t, off_t); return placed(real, fd, from, size, to);
}
ssize_t writev(int fd, const struct iovec *parts, int number) {
    REAL(ssize_t, writev, int, const struct iovec *, int);
    if (!watched(fd)) return real(fd, parts, number);
    FAIL(0); ssize_t done = real(fd, parts, number); after(); return done;
}
ssize_t pwritev(int fd, const struct iovec *parts, int number, off_t to) {
    REAL(ssize_t, pwritev, int, const struct iovec *, int, off_t);
    if (!watched(fd)) return real(fd, parts, number, to);
    FAIL(0); ssize_t done = real(fd, parts, number, to); after(); return done;
}
int fsync(int fd) {
    REAL(int, fsync, int);
    if (!watched(fd)) return real(fd);
    FAIL(1); int done = real(fd); after(); return done;
}
int fdatasync(int fd) {
    REAL(int, fdatasync, int);
    if (!watched(fd)) return real(fd);
    FAIL(1); int done = real(fd); after(); return done;
}
int ftruncate(int fd, off_t size) {
    REAL(int, ftruncate, int, off_t);
    if (!watched(fd)) return real(fd, size);
    FAIL(0); int done = real(fd, size); after(); return done;
}
int ftruncate64(int fd, off_t size) {
    REAL(int, ftruncate64, int, off_t);
    if (!watched(fd)) return real(fd, size);
    FAIL(0); int done = real(fd, size); after(); return done;
}
int rename(const char *from, const char *to) {
    REAL(int, rename, const char *, const char *);
    if (!inside(to)) return real(from, to);
    FAIL(0); int done = real(from, to); after(); return done;
}
int link(const char *from, const char *to) {
    REAL(int, link, const char *, const char *);
    if (!inside(to)) return real(from, to);
    FAIL(0); int done = real(from, to); after(); return done;
}
int linkat(int a, const char *from, int b, const char *to, int flags) {
    REAL(int, linkat, int, const char *, int, const char *, int);
    if (!inside(to)) return real(a, from, b, to, flags);
    FAIL(0); int done = real(a, from, b, to, flags); after(); return done;
}
int unlink(const char *path) {
    REAL(int, unlink, const char *);
    if (!inside(path)) return real(path);
    count++;
    if (what == KILL_BEFORE && count == at) die();
    int done = real(path); after(); return done;
}
int mkdir(const char *path, mode_t mode) {
    REAL(int, mkdir, const char *, mode_t);
    if (!inside(path)) return real(path, mode);
    FAIL(0); int done = real(path, mode); after(); return done;
}
#define OPENS(name)                                                                  \
    int name(const char *path, int flags, ...) {                                     \
        REAL(int, name, const char *, int, ...);                                     \
        va_list rest; va_start(rest, flags); mode_t mode = va_arg(rest, mode_t); va_end(rest); \
        if (!(flags & O_CREAT) || !inside(path)) return real(path, flags, mode);     \
        FAIL(0); int done = real(path, flags, mode); after(); return done;           \
    }
OPENS(open)
OPENS(open64)
ssize_t send(int fd, const void *from, size_t size, int flags) {
    REAL(ssize_t, send, int, const void *, size_t, int);
    if (what == NOTHING || what == FULL || what == NO_SYNC || !watched(fd)) return real(fd, from, size, flags);
    count++;
    if (what == KILL_BEFORE && count == at) die();
    if (torn()) { real(fd, from, size / 2, flags); die(); }
    ssize_t done = real(fd, from, size, flags); after(); return done;
}
