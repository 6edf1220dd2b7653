/* Keeps in the folder IMAGE what a disk would have of the folder WATCHED were the power cut now: of a file what was in it
   when it was last synced, and those names that its folder held when the folder was last synced. With DIES_BEFORE=N the
   program is killed instead, before its Nth call that changes a file of that folder or syncs it. With FAILS_AT=N that call
   fails with the error number FAILS_WITH, and nothing of it is done. */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static void copy(int from, const char *to) {
    char block[65536];
    off_t at = 0;
    ssize_t got;
    int out = open(to, O_CREAT | O_TRUNC | O_WRONLY, 0600);
    while ((got = pread(from, block, sizeof block, at)) > 0) {
        if (write(out, block, got) != got) abort();
        at += got;
    }
    close(out);
}

static void keep_names(const char *folder, const char *image) {
    char list[4096];
    snprintf(list, sizeof list, "%s/names", image);
    FILE *out = fopen(list, "w");
    DIR *open_folder = opendir(folder);
    struct dirent *entry;
    while ((entry = readdir(open_folder)) != NULL)
        if (entry->d_type == DT_REG)
            fprintf(out, "%lu %s\n", (unsigned long)entry->d_ino, entry->d_name);
    closedir(open_folder);
    fclose(out);
}

static void synced(int fd) {
    const char *watched = getenv("WATCHED"), *image = getenv("IMAGE");
    char link[64], path[4096], to[4096];
    struct stat about;
    if (!watched || !image || fstat(fd, &about) != 0) return;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (length < 0) return;
    path[length] = 0;
    if (strncmp(path, watched, strlen(watched)) != 0) return;
    if (S_ISDIR(about.st_mode)) {
        keep_names(path, image);
    } else {
        snprintf(to, sizeof to, "%s/%lu", image, (unsigned long)about.st_ino);
        int again = open(link, O_RDONLY);
        copy(again, to);
        close(again);
    }
}

/* Whether that file is in the folder. */
static int is_watched(int fd) {
    const char *watched = getenv("WATCHED");
    char link[64], path[4096];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t length = readlink(link, path, sizeof path - 1);
    if (!watched || length < 0) return 0;
    path[length] = 0;
    return strncmp(path, watched, strlen(watched)) == 0;
}

/* Whether this call is the one that fails. */
static int fails(void) {
    static long calls;
    const char *last = getenv("DIES_BEFORE"), *failing = getenv("FAILS_AT"), *with = getenv("FAILS_WITH");
    calls++;
    if (last && calls == atol(last)) raise(SIGKILL);
    if (!failing || !with || calls != atol(failing)) return 0;
    errno = atoi(with);
    return 1;
}

#define REAL(name, type) ((type)dlsym(RTLD_NEXT, name))

ssize_t pwrite64(int fd, const void *octets, size_t count, off64_t at) {
    if (is_watched(fd) && fails()) return -1;
    return REAL("pwrite64", ssize_t (*)(int, const void *, size_t, off64_t))(fd, octets, count, at);
}

ssize_t pwrite(int fd, const void *octets, size_t count, off_t at) {
    if (is_watched(fd) && fails()) return -1;
    return REAL("pwrite", ssize_t (*)(int, const void *, size_t, off_t))(fd, octets, count, at);
}

ssize_t write(int fd, const void *octets, size_t count) {
    if (is_watched(fd) && fails()) return -1;
    return REAL("write", ssize_t (*)(int, const void *, size_t))(fd, octets, count);
}

int ftruncate64(int fd, off64_t length) {
    if (is_watched(fd) && fails()) return -1;
    return REAL("ftruncate64", int (*)(int, off64_t))(fd, length);
}

int ftruncate(int fd, off_t length) {
    if (is_watched(fd) && fails()) return -1;
    return REAL("ftruncate", int (*)(int, off_t))(fd, length);
}

int unlink(const char *path) {
    const char *watched = getenv("WATCHED");
    if (watched && strncmp(path, watched, strlen(watched)) == 0 && fails()) return -1;
    return REAL("unlink", int (*)(const char *))(path);
}

int fsync(int fd) {
    if (is_watched(fd) && fails()) return -1;
    int code = REAL("fsync", int (*)(int))(fd);
    synced(fd);
    return code;
}

int fdatasync(int fd) {
    if (is_watched(fd) && fails()) return -1;
    int code = REAL("fdatasync", int (*)(int))(fd);
    synced(fd);
    return code;
}
