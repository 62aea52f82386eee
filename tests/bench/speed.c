/*
 * speed.c - how fast the engine is beside peers that do the same work, as CSV
 * rows; see README.md in this folder.
 *
 * SPDX-License-Identifier: MIT
 */
#include "speed.h"

#include <stdio.h>
#include <string.h>

int main(int argc, char **argv)
{
    if (argc < 2) {
        speed_fail("speed PROPERTY.ini [crossings|matrix|field|read]");
    }
    const char *only = argc > 2 ? argv[2] : "";
    (void)printf("row,peer,ratio,target,ok\n");
    if (*only == '\0' || strcmp(only, "crossings") == 0) {
        speed_crossings();
    }
    if (*only == '\0' || strcmp(only, "matrix") == 0) {
        speed_matrix(argv[1]);
    }
    if (*only == '\0' || strcmp(only, "field") == 0) {
        speed_field(argv[1]);
    }
    if (*only == '\0' || strcmp(only, "read") == 0) {
        speed_read();
    }
    return 0;
}
