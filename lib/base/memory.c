/*
 * memory.c - checked allocation, growing arrays, arenas.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_base.h"

#include <stdlib.h>
#include <string.h>

static bool size_of(size_t count, size_t size, size_t *bytes)
{
    if (size != 0 && count > SIZE_MAX / size) {
        return false;
    }
    const size_t wanted = count * size;
    *bytes = wanted == 0 ? 1 : wanted;
    return *bytes <= PTRDIFF_MAX;
}

void *hr_alloc(size_t count, size_t size)
{
    size_t bytes;
    return size_of(count, size, &bytes) ? malloc(bytes) : NULL;
}

void *hr_alloc_zero(size_t count, size_t size)
{
    size_t bytes;
    return size_of(count, size, &bytes) ? calloc(1, bytes) : NULL;
}

void *hr_resize(void *block, size_t count, size_t size)
{
    size_t bytes;
    return size_of(count, size, &bytes) ? realloc(block, bytes) : NULL;
}

void hr_free(void *block)
{
    free(block);
}

char *hr_strndup(const char *text, size_t len)
{
    if (len == SIZE_MAX) {
        return NULL;
    }
    char *copy = hr_alloc(len + 1, 1);
    if (copy != NULL) {
        memcpy(copy, text, len);
        copy[len] = '\0';
    }
    return copy;
}

char *hr_strdup(const char *text)
{
    return hr_strndup(text, strlen(text));
}

bool hr_reserve(void **items, size_t *cap, size_t need, size_t elem_size)
{
    if (need <= *cap) {
        return true;
    }
    size_t grown = *cap < 8 ? 8 : *cap + *cap / 2;
    if (grown < need) {
        grown = need;
    }
    /* *items is some other type of pointer in truth: copied as bytes */
    void *block;
    memcpy(&block, items, sizeof block);
    block = hr_resize(block, grown, elem_size);
    if (block == NULL) {
        return false;
    }
    memcpy(items, &block, sizeof block);
    *cap = grown;
    return true;
}

/* ---- arena ---- */

#define CHUNK_BYTES ((size_t)64 << 10)
#define ALIGNMENT ((size_t)16)

typedef struct chunk {
    struct chunk *next;
    size_t used, size;
} chunk;

#define CHUNK_HEAD ((sizeof(chunk) + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT)

struct hr_arena {
    chunk *chunks; /* the newest first */
};

hr_arena *hr_arena_new(void)
{
    return hr_alloc_zero(1, sizeof(hr_arena));
}

void hr_arena_free(hr_arena *arena)
{
    if (arena == NULL) {
        return;
    }
    for (chunk *c = arena->chunks; c != NULL;) {
        chunk *next = c->next;
        hr_free(c);
        c = next;
    }
    hr_free(arena);
}

void *hr_arena_alloc(hr_arena *arena, size_t count, size_t size)
{
    size_t bytes;
    if (!size_of(count, size, &bytes) || bytes > SIZE_MAX / 2) {
        return NULL;
    }
    bytes = (bytes + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
    chunk *c = arena->chunks;
    if (c == NULL || c->size - c->used < bytes) {
        const size_t room = bytes > CHUNK_BYTES ? bytes : CHUNK_BYTES;
        c = hr_alloc(1, CHUNK_HEAD + room);
        if (c == NULL) {
            return NULL;
        }
        c->used = 0;
        c->size = room;
        c->next = arena->chunks;
        arena->chunks = c;
    }
    void *block = (char *)c + CHUNK_HEAD + c->used;
    c->used += bytes;
    return block;
}

char *hr_arena_strndup(hr_arena *arena, const char *text, size_t len)
{
    if (len == SIZE_MAX) {
        return NULL;
    }
    char *copy = hr_arena_alloc(arena, len + 1, 1);
    if (copy != NULL) {
        memcpy(copy, text, len);
        copy[len] = '\0';
    }
    return copy;
}

char *hr_arena_strdup(hr_arena *arena, const char *text)
{
    return hr_arena_strndup(arena, text, strlen(text));
}
