/*
 * error.c - status names and error text.
 *
 * SPDX-License-Identifier: MIT
 */
#include "base_priv.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const struct {
    const char *name;
    int exit_status;
} statuses[] = {
    [HR_OK] = {"ok", 0},
    [HR_ERR_ARGUMENT] = {"argument", 3},
    [HR_ERR_USAGE] = {"usage", 2},
    [HR_ERR_INPUT] = {"input", 3},
    [HR_ERR_UNAVAILABLE] = {"unavailable", 3},
    [HR_ERR_LIMIT] = {"limit", 3},
    [HR_ERR_OUTPUT] = {"output", 4},
    [HR_ERR_MEMORY] = {"memory", 4},
    [HR_ERR_INTERRUPTED] = {"interrupted", 130},
};

#define STATUS_COUNT (sizeof statuses / sizeof statuses[0])

const char *hr_version(void)
{
    return HR_VERSION;
}

const char *hr_status_name(hr_status status)
{
    return (size_t)status < STATUS_COUNT ? statuses[status].name : "unknown";
}

int hr_status_exit(hr_status status)
{
    return (size_t)status < STATUS_COUNT ? statuses[status].exit_status : 3;
}

hr_status hr_fail(hr_error *err, hr_status status, const char *file, int line, const char *fmt, ...)
{
    if (err == NULL) {
        return status;
    }
    /* file and the arguments may be err's own fields, where context is added to
     * a failure from below: nothing of err is written before all is read */
    hr_error filled = {.status = status, .line = line};
    (void)snprintf(filled.file, sizeof filled.file, "%s", file == NULL ? "" : file);
    va_list args;
    va_start(args, fmt);
    (void)vsnprintf(filled.text, sizeof filled.text, fmt, args);
    va_end(args);
    base_tidy(filled.text);
    *err = filled;
    return status;
}

void hr_error_format(const hr_error *err, char *out, size_t out_size)
{
    if (err->file[0] == '\0') {
        (void)snprintf(out, out_size, "%s", err->text);
    } else if (err->line <= 0) {
        (void)snprintf(out, out_size, "%s: %s", err->file, err->text);
    } else {
        (void)snprintf(out, out_size, "%s:%d: %s", err->file, err->line, err->text);
    }
}
