/*
 * compare_rasters.c - compares two pictures of walls (PGM, P5) and says which
 * share of the dark pixels of either stands where the other has none within a
 * pixel. Status 1 when the share is above the limit, 2 when something is wrong.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

#define DARK 128
/* Of a thousand dark pixels; much stricter than of all pixels, most of which are white in both. */
#define LIMIT_PER_1000 5

typedef struct picture {
    int width, height;
    unsigned char *at;
} picture;

/* A number of the header; blanks and # comments before it are passed over. */
static bool read_number(FILE *file, int *number)
{
    int c = fgetc(file);
    while (c == ' ' || c == '\n' || c == '\t' || c == '\r' || c == '#') {
        while (c == '#' && c != EOF && (c = fgetc(file)) != '\n' && c != EOF) {
            c = '#';
        }
        c = fgetc(file);
    }
    *number = 0;
    bool any = false;
    for (; c >= '0' && c <= '9' && *number < 100000; c = fgetc(file)) {
        *number = *number * 10 + (c - '0');
        any = true;
    }
    return any;
}

static bool read_picture(const char *path, picture *p)
{
    FILE *file = fopen(path, "rb");
    int most = 0;
    *p = (picture){0, 0, NULL};
    bool good = file != NULL && fgetc(file) == 'P' && fgetc(file) == '5' && read_number(file, &p->width) &&
                read_number(file, &p->height) && read_number(file, &most) && most == 255 && p->width > 0 && p->height > 0;
    const size_t size = good ? (size_t)p->width * (size_t)p->height : 0;
    p->at = good ? malloc(size) : NULL;
    good = good && p->at != NULL && fread(p->at, 1, size, file) == size;
    if (file != NULL) {
        (void)fclose(file);
    }
    return good;
}

static bool is_dark(const picture *p, int x, int y)
{
    return x >= 0 && y >= 0 && x < p->width && y < p->height && p->at[(size_t)y * (size_t)p->width + (size_t)x] < DARK;
}

/* Dark pixels of a without a dark one of b within a pixel. */
static long alone(const picture *a, const picture *b, long *dark)
{
    long count = 0;
    for (int y = 0; y < a->height; y++) {
        for (int x = 0; x < a->width; x++) {
            if (!is_dark(a, x, y)) {
                continue;
            }
            bool near = false;
            for (int k = 0; k < 9 && !near; k++) {
                near = is_dark(b, x + k % 3 - 1, y + k / 3 - 1);
            }
            count += !near;
            (*dark)++;
        }
    }
    return count;
}

int main(int count, char **words)
{
    picture a, b;
    if (count != 3 || !read_picture(words[1], &a) || !read_picture(words[2], &b)) {
        (void)fprintf(stderr, "two PGM pictures were expected\n");
        return 2;
    }
    if (a.width != b.width || a.height != b.height) {
        (void)fprintf(stderr, "the pictures are of different size\n");
        return 2;
    }
    long dark = 0;
    const long different = alone(&a, &b, &dark) + alone(&b, &a, &dark);
    (void)printf("%ld of %ld wall pixels, %ld pixels in all\n", different, dark, (long)a.width * a.height);
    free(a.at);
    free(b.at);
    if (dark < 1000) {
        (void)fprintf(stderr, "hardly anything is drawn\n");
        return 2;
    }
    return different * 1000 > dark * LIMIT_PER_1000;
}
