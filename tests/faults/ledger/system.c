/*
 * Stands in front of libc (LD_PRELOAD) in a program that is tested, and there
 *   records every call that changes a file below one folder, with the bytes, and
 *   makes the n-th call that touches that folder fail.
 * What it lets through it does itself, by raw system calls.
 *
 * Set in the environment:
 *   FAULTS_FOLDER   the folder, as an absolute path without links; without it all goes through
 *   FAULTS_RECORD   the file the record is appended to; without it nothing is recorded
 *   FAULTS_NO_SYNC  if set, fsync and fdatasync say yes and do nothing
 *
 * The program talks to this library by reading links that do not exist; their "target" is the
 * answer:
 *   /coldbench-faults/say/WORDS            puts WORDS into the record
 *   /coldbench-faults/arm/N/ERRNO/MANNER   from here calls are counted; the N-th fails (0: none).
 *                                          MANNER 0: this one; 1: and those after it, where the
 *                                          disk is full only those that take room; 2: it writes
 *                                          half its bytes, the next write fails; 3: as 1, and
 *                                          a file is no longer opened to be made where missing,
 *                                          even if it is there
 *   /coldbench-faults/calm                 nothing fails any more; answer: how many were struck
 *   /coldbench-faults/calls                answer: one letter for each call counted (b: a write
 *                                          of one byte, which has no half; else see below)
 *
 * Not seen: dup2, sendfile, copy_file_range, writes through a mapping. The ledger uses none of
 * them but the last, for SQLite's `-shm` file, which is made anew after a crash; a writable
 * shared mapping is recorded, so that one of another file shows. Linux with 64 bits only.
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <time.h>
#include <unistd.h>

#define FILES 1024
#define CALLS 65536
#define ORDERS "/coldbench-faults/"

static char folder[PATH_MAX];
static size_t folder_length;
static int record_file = -1;
static int no_sync;

/* The path of each open file below the folder. */
static char *names[FILES];

static int armed, error_number, manner, struck, write_fails_next, unwilling;
static long calls, strike_at;
static char letters[CALLS];

__attribute__((constructor)) static void begin(void)
{
    const char *set = getenv("FAULTS_FOLDER"), *record = getenv("FAULTS_RECORD");
    if (!set || strlen(set) >= sizeof folder)
        return;
    strcpy(folder, set);
    folder_length = strlen(folder);
    no_sync = getenv("FAULTS_NO_SYNC") != NULL;
    if (record) {
        record_file = (int)syscall(SYS_openat, AT_FDCWD, record,
                                   O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
        if (record_file < 0)
            abort();
    }
}

static int below(const char *path)
{
    return folder_length && path && !strncmp(path, folder, folder_length)
        && (path[folder_length] == '/' || !path[folder_length]);
}

static const char *name_of(int file)
{
    return file >= 0 && file < FILES ? names[file] : NULL;
}

/* One entry: its head, then two byte strings. It is one write, so entries never mix. */
static void record(char what, int file, int64_t at, const void *one, size_t one_length,
                   const void *two, size_t two_length)
{
    struct { int64_t what, file, at, one, two; } head
        = { what, file, at, (int64_t)one_length, (int64_t)two_length };
    struct iovec parts[] = {
        { &head, sizeof head }, { (void *)one, one_length }, { (void *)two, two_length },
    };
    int before = errno;
    if (record_file >= 0
        && syscall(SYS_writev, record_file, parts, 3)
            != (long)(sizeof head + one_length + two_length))
        abort();
    errno = before;
}

static void record_path(char what, int file, int64_t at, const char *path)
{
    record(what, file, at, path, strlen(path), "", 0);
}

/* Counts a call. True, with errno set, where it has to fail. A full disk can still be read. */
static int strike(char letter, int takes_room)
{
    if (!armed)
        return 0;
    if (calls == CALLS)
        abort();
    letters[calls++] = letter;
    if ((letter == 'w' || letter == 'b') && write_fails_next) {
        write_fails_next = 0;
    } else if (manner == 2 || !strike_at || calls < strike_at) {
        return 0;
    } else if (calls > strike_at
               && (manner != 1 || (error_number == ENOSPC && !takes_room))) {
        return 0;
    }
    struck++;
    errno = error_number;
    return 1;
}

/* How much of a write goes through. */
static size_t room_for(size_t length)
{
    if (!armed || manner != 2 || calls != strike_at)
        return length;
    struck++;
    write_fails_next = 1;
    return length / 2;
}

ssize_t readlink(const char *restrict path, char *restrict target, size_t size)
{
    if (strncmp(path, ORDERS, strlen(ORDERS)))
        return syscall(SYS_readlinkat, AT_FDCWD, path, target, size);
    const char *order = path + strlen(ORDERS), *answer = "done";
    char number[32];
    size_t length;
    if (!strncmp(order, "say/", 4)) {
        record_path('!', -1, 0, order + 4);
    } else if (sscanf(order, "arm/%ld/%d/%d", &strike_at, &error_number, &manner) == 3) {
        unwilling = manner == 3;
        manner = unwilling ? 1 : manner;
        armed = 1, struck = 0, calls = 0, write_fails_next = 0;
    } else if (!strcmp(order, "calm")) {
        armed = 0;
        snprintf(number, sizeof number, "%d", struck);
        answer = number;
    } else if (!strcmp(order, "calls")) {
        length = (size_t)calls < size ? (size_t)calls : size;
        memcpy(target, letters, length);
        return (ssize_t)length;
    } else {
        errno = EINVAL;
        return -1;
    }
    length = strlen(answer) < size ? strlen(answer) : size;
    memcpy(target, answer, length);
    return (ssize_t)length;
}

/*
 * SQLite adds up how long it slept for another program's lock, and takes any failed lock for
 * one; while calls fail, sleeping takes no time.
 */
int nanosleep(const struct timespec *time, struct timespec *left)
{
    return armed ? 0 : (int)syscall(SYS_nanosleep, time, left);
}

int usleep(useconds_t microseconds)
{
    struct timespec time = { microseconds / 1000000, (long)(microseconds % 1000000) * 1000 };
    return nanosleep(&time, NULL);
}

static int open_any(int at, const char *path, int flags, mode_t mode)
{
    int known = below(path);
    /* A file that is there takes no room. */
    int makes = known && (flags & O_CREAT) && syscall(SYS_faccessat, at, path, F_OK);
    if (known && strike('o', makes || (unwilling && (flags & O_CREAT))))
        return -1;
    int file = (int)syscall(SYS_openat, at, path, flags, mode);
    if (known && file >= 0) {
        if (file >= FILES)
            abort();
        free(names[file]);
        names[file] = strdup(path);
        record_path('o', file, flags, path);
    }
    return file;
}

#define MODE_OF(flags, mode)                                                                       \
    mode_t mode = 0;                                                                               \
    if ((flags) & (O_CREAT | O_TMPFILE)) {                                                         \
        va_list more;                                                                              \
        va_start(more, flags);                                                                     \
        mode = va_arg(more, mode_t);                                                               \
        va_end(more);                                                                              \
    }

int open(const char *path, int flags, ...)
{
    MODE_OF(flags, mode)
    return open_any(AT_FDCWD, path, flags, mode);
}

int open64(const char *path, int flags, ...)
{
    MODE_OF(flags, mode)
    return open_any(AT_FDCWD, path, flags, mode);
}

int openat(int at, const char *path, int flags, ...)
{
    MODE_OF(flags, mode)
    return open_any(at, path, flags, mode);
}

int openat64(int at, const char *path, int flags, ...)
{
    MODE_OF(flags, mode)
    return open_any(at, path, flags, mode);
}

int creat(const char *path, mode_t mode)
{
    return open_any(AT_FDCWD, path, O_CREAT | O_WRONLY | O_TRUNC, mode);
}

int creat64(const char *path, mode_t mode)
{
    return creat(path, mode);
}

/* A close that fails has closed all the same. */
int close(int file)
{
    int known = name_of(file) != NULL;
    if (known) {
        record('c', file, 0, "", 0, "", 0);
        free(names[file]);
        names[file] = NULL;
    }
    long done = syscall(SYS_close, file);
    return known && strike('c', 0) ? -1 : (int)done;
}

ssize_t read(int file, void *bytes, size_t length)
{
    return name_of(file) && strike('r', 0) ? -1 : syscall(SYS_read, file, bytes, length);
}

ssize_t pread64(int file, void *bytes, size_t length, off64_t at)
{
    return name_of(file) && strike('r', 0) ? -1 : syscall(SYS_pread64, file, bytes, length, at);
}

ssize_t pread(int file, void *bytes, size_t length, off_t at)
{
    return pread64(file, bytes, length, at);
}

static ssize_t written(int file, off64_t at, const void *bytes, ssize_t length)
{
    if (length > 0)
        record('w', file, at, bytes, (size_t)length, "", 0);
    return length;
}

ssize_t write(int file, const void *bytes, size_t length)
{
    if (!name_of(file))
        return syscall(SYS_write, file, bytes, length);
    if (strike(length < 2 ? 'b' : 'w', 1))
        return -1;
    int appends = syscall(SYS_fcntl, file, F_GETFL) & O_APPEND;
    off64_t at = syscall(SYS_lseek, file, 0, appends ? SEEK_END : SEEK_CUR);
    return written(file, at, bytes, syscall(SYS_write, file, bytes, room_for(length)));
}

ssize_t pwrite64(int file, const void *bytes, size_t length, off64_t at)
{
    if (!name_of(file))
        return syscall(SYS_pwrite64, file, bytes, length, at);
    if (strike(length < 2 ? 'b' : 'w', 1))
        return -1;
    return written(file, at, bytes, syscall(SYS_pwrite64, file, bytes, room_for(length), at));
}

ssize_t pwrite(int file, const void *bytes, size_t length, off_t at)
{
    return pwrite64(file, bytes, length, at);
}

/* A short count is allowed, so one part at a time will do. */
ssize_t writev(int file, const struct iovec *parts, int count)
{
    if (!name_of(file))
        return syscall(SYS_writev, file, parts, count);
    for (int part = 0; part < count; part++)
        if (parts[part].iov_len)
            return write(file, parts[part].iov_base, parts[part].iov_len);
    return 0;
}

int ftruncate64(int file, off64_t size)
{
    int known = name_of(file) != NULL;
    if (known && strike('t', 1))
        return -1;
    int done = (int)syscall(SYS_ftruncate, file, size);
    if (known && !done)
        record('t', file, size, "", 0, "", 0);
    return done;
}

int ftruncate(int file, off_t size)
{
    return ftruncate64(file, size);
}

int fallocate64(int file, int how, off64_t at, off64_t length)
{
    int known = name_of(file) != NULL;
    if (known && strike('a', 1))
        return -1;
    int done = (int)syscall(SYS_fallocate, file, how, at, length);
    /* Only plain growth has a meaning in the record. */
    if (known && !done)
        record(how ? '?' : 'a', file, at + length, "", 0, "", 0);
    return done;
}

int fallocate(int file, int how, off_t at, off_t length)
{
    return fallocate64(file, how, at, length);
}

int posix_fallocate64(int file, off64_t at, off64_t length)
{
    return fallocate64(file, 0, at, length) ? errno : 0;
}

int posix_fallocate(int file, off_t at, off_t length)
{
    return posix_fallocate64(file, at, length);
}

static int synced(int file, long call)
{
    int known = name_of(file) != NULL;
    if (known && strike('s', 1))
        return -1;
    if (known && no_sync)
        return 0;
    int done = (int)syscall(call, file);
    if (known && !done)
        record('s', file, 0, "", 0, "", 0);
    return done;
}

int fsync(int file)
{
    return synced(file, SYS_fsync);
}

int fdatasync(int file)
{
    return synced(file, SYS_fdatasync);
}

/* Promises nothing after a power cut, so it is not recorded. */
int sync_file_range(int file, off64_t at, off64_t length, unsigned flags)
{
    if (name_of(file) && strike('s', 1))
        return -1;
    return (int)syscall(SYS_sync_file_range, file, at, length, flags);
}

static int renamed(int from_at, const char *from, int to_at, const char *to, unsigned flags)
{
    int known = below(from) || below(to);
    if (known && strike('n', 1))
        return -1;
    int done = (int)syscall(SYS_renameat2, from_at, from, to_at, to, flags);
    if (known && !done)
        record(flags ? '?' : 'n', -1, 0, from, strlen(from), to, strlen(to));
    return done;
}

int rename(const char *from, const char *to)
{
    return renamed(AT_FDCWD, from, AT_FDCWD, to, 0);
}

int renameat(int from_at, const char *from, int to_at, const char *to)
{
    return renamed(from_at, from, to_at, to, 0);
}

int renameat2(int from_at, const char *from, int to_at, const char *to, unsigned flags)
{
    return renamed(from_at, from, to_at, to, flags);
}

int unlinkat(int at, const char *path, int flags)
{
    int known = below(path);
    if (known && strike('u', 0))
        return -1;
    int done = (int)syscall(SYS_unlinkat, at, path, flags);
    if (known && !done)
        record_path('u', -1, 0, path);
    return done;
}

int unlink(const char *path)
{
    return unlinkat(AT_FDCWD, path, 0);
}

int mkdirat(int at, const char *path, mode_t mode)
{
    int known = below(path);
    if (known && strike('d', 1))
        return -1;
    int done = (int)syscall(SYS_mkdirat, at, path, mode);
    if (known && !done)
        record_path('d', -1, 0, path);
    return done;
}

int mkdir(const char *path, mode_t mode)
{
    return mkdirat(AT_FDCWD, path, mode);
}

int linkat(int from_at, const char *from, int to_at, const char *to, int flags)
{
    int known = below(from) || below(to);
    if (known && strike('k', 1))
        return -1;
    int done = (int)syscall(SYS_linkat, from_at, from, to_at, to, flags);
    if (known && !done)
        record('k', -1, 0, from, strlen(from), to, strlen(to));
    return done;
}

int link(const char *from, const char *to)
{
    return linkat(AT_FDCWD, from, AT_FDCWD, to, 0);
}

static int controlled(int file, int command, long more)
{
    if (name_of(file)) {
        int locks = command == F_SETLK || command == F_SETLKW || command == F_GETLK
            || command == F_OFD_SETLK || command == F_OFD_SETLKW || command == F_OFD_GETLK;
        if (locks && strike('l', 0))
            return -1;
        if (command == F_DUPFD || command == F_DUPFD_CLOEXEC)
            record('?', file, command, "", 0, "", 0);
    }
    return (int)syscall(SYS_fcntl, file, command, more);
}

int fcntl(int file, int command, ...)
{
    va_list more;
    va_start(more, command);
    long value = va_arg(more, long);
    va_end(more);
    return controlled(file, command, value);
}

int fcntl64(int file, int command, ...)
{
    va_list more;
    va_start(more, command);
    long value = va_arg(more, long);
    va_end(more);
    return controlled(file, command, value);
}

int fstatat(int at, const char *restrict path, struct stat *restrict found, int flags)
{
    return below(path) && strike('i', 0) ? -1
        : (int)syscall(SYS_newfstatat, at, path, found, flags);
}

int fstatat64(int at, const char *restrict path, struct stat64 *restrict found, int flags)
{
    return fstatat(at, path, (struct stat *)found, flags);
}

int stat(const char *restrict path, struct stat *restrict found)
{
    return fstatat(AT_FDCWD, path, found, 0);
}

int stat64(const char *restrict path, struct stat64 *restrict found)
{
    return fstatat(AT_FDCWD, path, (struct stat *)found, 0);
}

int lstat(const char *restrict path, struct stat *restrict found)
{
    return fstatat(AT_FDCWD, path, found, AT_SYMLINK_NOFOLLOW);
}

int lstat64(const char *restrict path, struct stat64 *restrict found)
{
    return lstat(path, (struct stat *)found);
}

int fstat(int file, struct stat *found)
{
    return name_of(file) && strike('i', 0) ? -1 : (int)syscall(SYS_fstat, file, found);
}

int fstat64(int file, struct stat64 *found)
{
    return fstat(file, (struct stat *)found);
}

int statx(int at, const char *restrict path, int flags, unsigned mask,
          struct statx *restrict found)
{
    /* Declared never to be NULL, yet probed with it: the compiler must not build on that. */
    const char *volatile name = path;
    int known = below(name) || (name && !*name && name_of(at));
    return known && strike('i', 0) ? -1 : (int)syscall(SYS_statx, at, name, flags, mask, found);
}

int access(const char *path, int how)
{
    return below(path) && strike('e', 0) ? -1
        : (int)syscall(SYS_faccessat, AT_FDCWD, path, how);
}

void *mmap64(void *where, size_t length, int protection, int flags, int file, off64_t at)
{
    const char *name = name_of(file);
    if (name && strike('m', 1))
        return MAP_FAILED;
    if (name && (flags & MAP_SHARED) && (protection & PROT_WRITE))
        record_path('m', file, at, name);
    return (void *)syscall(SYS_mmap, where, length, protection, flags, file, at);
}

void *mmap(void *where, size_t length, int protection, int flags, int file, off_t at)
{
    return mmap64(where, length, protection, flags, file, at);
}
