/*
 * shapes.c - where the strips of rooms and the corridors of each shape lie.
 *
 * Corridors run on to the outer wall at corners, so that every strip has a
 * corridor along its whole length and every corridor a window at its end. Where
 * two strips meet behind a corner the one keeps an outer wall and the other
 * has a dark end, which only stores, stairs and the core may use.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

static const outline_point RIGHT = {1, 0}, DOWN = {0, 1}, LEFT = {-1, 0}, UP = {0, -1};

const char *outline_shape_name(hr_outline_shape shape)
{
    static const char *const names[] = {"single-sided", "double-loaded", "L", "U", "T", "courtyard"};
    return names[shape];
}

static outline_strip *put(outline_layout *l, long x, long y, outline_point u, outline_point v, long length)
{
    outline_strip *strip = &l->strips[l->strip_count++];
    *strip = (outline_strip){.at = {x, y}, .u = u, .v = v, .length = length, .dark_to = length};
    return strip;
}

static void serve(outline_layout *l, size_t strip, outline_place place, outline_cell_kind kind, long width)
{
    outline_group *group = &l->strips[strip].groups[place];
    if (group->count < OUTLINE_GROUP_MAX) {
        group->items[group->count++] = (outline_service){kind, width};
    }
}

/* Ends of a corridor stand in the outer wall, or at the edge of the slab in the open air. */
static long end_inset(const outline_sizes *z)
{
    return z->exterior ? -OUTLINE_HALF_OUTER : OUTLINE_HALF_OUTER;
}

static void add_end(outline_layout *l, long x, long y, bool vertical)
{
    if (!l->z->exterior) {
        l->ends[l->end_count] = (outline_point){x, y};
        l->end_vertical[l->end_count++] = vertical;
    }
}

/* A corridor from outer wall to outer wall, `top` its upper wall's centre line. */
static void bar(outline_layout *l, long top)
{
    const outline_sizes *z = l->z;
    const long in = end_inset(z), h = z->half_corridor;
    l->corridors[l->corridor_count] = (outline_rect){0, top, l->width, top + z->between};
    l->clear[l->corridor_count++] = (outline_rect){in, top + h, l->width - in, top + z->between - h};
    add_end(l, 0, top + z->between / 2, true);
    add_end(l, l->width, top + z->between / 2, true);
}

/* A corridor down from the upper bar, to the lower outer wall or into a lower bar. */
static void stem(outline_layout *l, long left, bool to_wall)
{
    const outline_sizes *z = l->z;
    const long h = z->half_corridor, low = to_wall ? l->height : l->height - z->across - z->half_corridor;
    l->corridors[l->corridor_count] = (outline_rect){left, z->across, left + z->between, low};
    l->clear[l->corridor_count++] =
        (outline_rect){left + h, z->across + h, left + z->between - h, to_wall ? low - end_inset(z) : low};
    if (to_wall) {
        add_end(l, left + z->between / 2, l->height, false);
    }
}

static void lay_straight(outline_layout *l, long a)
{
    const outline_sizes *z = l->z;
    const bool single = z->shape == HR_OUTLINE_SINGLE_SIDED;
    long services = 0;
    if (single) {
        /* nothing stands opposite: the strip is as long as what is in it */
        services = (z->lifts > 0 ? OUTLINE_LIFT * (z->lifts > z->lift_rows ? 2 : 1) + OUTLINE_LOBBY : 0) +
                   z->stairs * OUTLINE_STAIR + (z->closets - (z->closet_in_core ? 1 : 0)) * OUTLINE_UTILITY;
    }
    l->width = a * z->bay + services;
    put(l, 0, z->across, RIGHT, UP, l->width);
    if (!single) {
        l->height = 2 * z->across + z->between;
        bar(l, z->across);
        put(l, l->width, z->across + z->between, LEFT, DOWN, l->width)->second_side = true;
        return;
    }
    const long low = z->across + z->half_corridor + z->corridor; /* the open side's face */
    const long in = end_inset(z);
    l->height = z->exterior ? low - OUTLINE_HALF_OUTER : low + OUTLINE_HALF_OUTER;
    l->corridors[0] = (outline_rect){0, z->across, l->width, l->height};
    l->clear[0] = (outline_rect){in, z->across + z->half_corridor, l->width - in, low};
    l->corridor_count = 1;
    add_end(l, 0, z->across + z->between / 2, true);
    add_end(l, l->width, z->across + z->between / 2, true);
}

static void lay_l(outline_layout *l, long a, long b)
{
    const long across = l->z->across, between = l->z->between, below = across + between;
    l->width = a * l->z->bay;
    l->height = below + b * l->z->bay;
    const long left = l->width - below;
    bar(l, across);
    stem(l, left, true);
    put(l, 0, across, RIGHT, UP, l->width);
    put(l, left + between, below, DOWN, RIGHT, l->height - below);
    put(l, left, l->height, UP, LEFT, l->height - below - across)->second_side = true;
    outline_strip *inner = put(l, left, below, LEFT, DOWN, left);
    inner->dark_from = across;
    inner->second_side = true;
}

static void lay_t(outline_layout *l, long a, long b)
{
    const long across = l->z->across, between = l->z->between, below = across + between;
    l->width = a * l->z->bay;
    l->height = below + across + b * l->z->bay;
    const long left = (l->width - between) / 2;
    bar(l, across);
    stem(l, left, true);
    put(l, 0, across, RIGHT, UP, l->width);
    outline_strip *right = put(l, l->width, below, LEFT, DOWN, l->width - left - between);
    right->dark_to = right->length - across;
    right->second_side = true;
    put(l, left + between, below + across, DOWN, RIGHT, b * l->z->bay);
    put(l, left, l->height, UP, LEFT, b * l->z->bay)->second_side = true;
    outline_strip *inner = put(l, left, below, LEFT, DOWN, left);
    inner->dark_from = across;
    inner->second_side = true;
}

static void lay_u(outline_layout *l, long a, long b)
{
    const long across = l->z->across, between = l->z->between, below = across + between;
    l->width = a * l->z->bay;
    l->height = below + b * l->z->bay;
    const long right = l->width - below;
    bar(l, across);
    stem(l, across, true);
    stem(l, right, true);
    put(l, across, l->height, UP, LEFT, l->height - below);
    put(l, 0, across, RIGHT, UP, l->width);
    put(l, right + between, below, DOWN, RIGHT, l->height - below);
    put(l, right, l->height, UP, LEFT, l->height - below - across)->second_side = true;
    outline_strip *inner = put(l, right, below, LEFT, DOWN, l->width - 2 * below);
    inner->dark_from = across;
    inner->dark_to = inner->length - across;
    inner->second_side = true;
    put(l, below, below + across, DOWN, RIGHT, l->height - below - across)->second_side = true;
}

static void lay_courtyard(outline_layout *l, long a, long b)
{
    const long across = l->z->across, between = l->z->between, below = across + between;
    l->width = a * l->z->bay;
    l->height = 2 * below + b * l->z->bay;
    const long right = l->width - below, low = l->height - below;
    bar(l, across);
    stem(l, right, false);
    bar(l, low);
    stem(l, across, false);
    put(l, 0, across, RIGHT, UP, l->width);
    put(l, right + between, below, DOWN, RIGHT, low - below);
    put(l, l->width, low + between, LEFT, DOWN, l->width);
    put(l, across, low, UP, LEFT, low - below);
    const long wide = l->width - 2 * below, high = low - below - 2 * across;
    /* round the court against the clock: the even numbers, taken backwards, run beside the odd ones */
    put(l, below, below + across, DOWN, RIGHT, high);
    put(l, below, low, RIGHT, UP, wide);
    put(l, right, low - across, UP, LEFT, high);
    put(l, right, below, LEFT, DOWN, wide);
    for (size_t i = 4; i < 8; i++) {
        l->strips[i].second_side = true;
        if (i % 2 == 1) {
            l->strips[i].dark_from = across;
            l->strips[i].dark_to = wide - across;
        }
    }
}

/* Where services stand, by shape: the core's place, then stairs and closets in turn. */
typedef struct service_plan {
    unsigned char core[2];
    unsigned char stairs[6][2];
    unsigned char closets[6][2];
} service_plan;

static const service_plan service_plans[] = {
    [HR_OUTLINE_SINGLE_SIDED] = {{0, OUTLINE_MIDDLE},
                                 {{0, OUTLINE_START},
                                  {0, OUTLINE_END},
                                  {0, OUTLINE_MIDDLE},
                                  {0, OUTLINE_MIDDLE},
                                  {0, OUTLINE_START},
                                  {0, OUTLINE_END}},
                                 {{0, OUTLINE_MIDDLE},
                                  {0, OUTLINE_END},
                                  {0, OUTLINE_START},
                                  {0, OUTLINE_MIDDLE},
                                  {0, OUTLINE_END},
                                  {0, OUTLINE_START}}},
    [HR_OUTLINE_DOUBLE_LOADED] = {{1, OUTLINE_MIDDLE},
                                  {{1, OUTLINE_START},
                                   {1, OUTLINE_END},
                                   {1, OUTLINE_MIDDLE},
                                   {0, OUTLINE_MIDDLE},
                                   {0, OUTLINE_START},
                                   {0, OUTLINE_END}},
                                  {{0, OUTLINE_MIDDLE},
                                   {1, OUTLINE_END},
                                   {1, OUTLINE_START},
                                   {0, OUTLINE_END},
                                   {0, OUTLINE_START},
                                   {1, OUTLINE_MIDDLE}}},
    [HR_OUTLINE_L] = {{3, OUTLINE_START},
                      {{3, OUTLINE_START},
                       {3, OUTLINE_END},
                       {2, OUTLINE_START},
                       {1, OUTLINE_MIDDLE},
                       {0, OUTLINE_MIDDLE},
                       {2, OUTLINE_END}},
                      {{2, OUTLINE_MIDDLE},
                       {3, OUTLINE_MIDDLE},
                       {0, OUTLINE_MIDDLE},
                       {1, OUTLINE_MIDDLE},
                       {2, OUTLINE_END},
                       {3, OUTLINE_END}}},
    [HR_OUTLINE_U] = {{4, OUTLINE_START},
                      {{4, OUTLINE_START},
                       {3, OUTLINE_START},
                       {5, OUTLINE_END},
                       {4, OUTLINE_END},
                       {2, OUTLINE_MIDDLE},
                       {0, OUTLINE_MIDDLE}},
                      {{4, OUTLINE_END},
                       {3, OUTLINE_MIDDLE},
                       {5, OUTLINE_MIDDLE},
                       {1, OUTLINE_MIDDLE},
                       {2, OUTLINE_MIDDLE},
                       {0, OUTLINE_MIDDLE}}},
    [HR_OUTLINE_T] = {{4, OUTLINE_START},
                      {{4, OUTLINE_END},
                       {1, OUTLINE_START},
                       {2, OUTLINE_END},
                       {1, OUTLINE_END},
                       {4, OUTLINE_START},
                       {0, OUTLINE_MIDDLE}},
                      {{1, OUTLINE_END},
                       {2, OUTLINE_MIDDLE},
                       {0, OUTLINE_MIDDLE},
                       {3, OUTLINE_MIDDLE},
                       {4, OUTLINE_MIDDLE},
                       {1, OUTLINE_MIDDLE}}},
    [HR_OUTLINE_COURTYARD] = {{7, OUTLINE_START},
                              {{7, OUTLINE_START},
                               {5, OUTLINE_START},
                               {7, OUTLINE_END},
                               {5, OUTLINE_END},
                               {0, OUTLINE_MIDDLE},
                               {2, OUTLINE_MIDDLE}},
                              {{5, OUTLINE_START},
                               {7, OUTLINE_END},
                               {5, OUTLINE_END},
                               {1, OUTLINE_MIDDLE},
                               {3, OUTLINE_MIDDLE},
                               {0, OUTLINE_MIDDLE}}},
};

static void place_services(outline_layout *l)
{
    const outline_sizes *z = l->z;
    const service_plan *plan = &service_plans[z->shape];
    if (z->lifts > 0) {
        const long width = OUTLINE_LIFT * (z->lifts > z->lift_rows ? 2 : 1) + OUTLINE_LOBBY;
        serve(l, plan->core[0], (outline_place)plan->core[1], OUTLINE_CORE, width);
    }
    for (long i = 0; i < z->stairs; i++) {
        serve(l, plan->stairs[i][0], (outline_place)plan->stairs[i][1], OUTLINE_STAIRS, OUTLINE_STAIR);
    }
    for (long i = z->closet_in_core ? 1 : 0; i < z->closets; i++) {
        const unsigned char *slot = plan->closets[z->closet_in_core ? i - 1 : i];
        serve(l, slot[0], (outline_place)slot[1], OUTLINE_UTILITIES, OUTLINE_UTILITY);
    }
}

void outline_lay(const outline_sizes *z, long a, long b, outline_layout *layout)
{
    *layout = (outline_layout){.z = z};
    switch (z->shape) {
    case HR_OUTLINE_SINGLE_SIDED:
    case HR_OUTLINE_DOUBLE_LOADED:
        lay_straight(layout, a);
        break;
    case HR_OUTLINE_L:
        lay_l(layout, a, b);
        break;
    case HR_OUTLINE_U:
        lay_u(layout, a, b);
        break;
    case HR_OUTLINE_T:
        lay_t(layout, a, b);
        break;
    case HR_OUTLINE_COURTYARD:
        lay_courtyard(layout, a, b);
        break;
    }
    place_services(layout);
}
