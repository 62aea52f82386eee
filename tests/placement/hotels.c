/*
 * hotels.c - a double-loaded corridor by the multi-wall figures: 40.2 + 20 log10 d,
 * 6 dB corridor wall, 5 dB partition, a slab between floors. Invented data.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hotels.h"

#include <math.h>

#define ROOM_WIDTH_M 4.0
#define ROOM_DEPTH_M 7.0
#define HALF_CORRIDOR_M 1.0
#define STOREY_M 3.0

typedef struct place {
    double x, y, z;
    uint32_t floor;
} place;

static double draw(uint32_t *state)
{
    *state = *state * 1664525U + 1013904223U;
    return ((double)(*state >> 8) + 0.5) / 16777216.0;
}

/* Normal by the sum of twelve: close enough for shadowing, and no tails to surprise. */
static double draw_normal(uint32_t *state)
{
    double sum = -6;
    for (int i = 0; i < 12; i++) {
        sum += draw(state);
    }
    return sum;
}

static double loss_db(const hotel_plan *plan, place spot, place device)
{
    const double dx = device.x - spot.x, dy = device.y - spot.y, dz = device.z - spot.z;
    double d = sqrt(dx * dx + dy * dy + dz * dz), loss = plan->floor_db;
    d = d > 1 ? d : 1;
    loss *= fabs((double)spot.floor - (double)device.floor);
    loss += 40.2 + 20 * log10(d);
    /* through the corridor wall where the ray leaves the corridor, then along the rooms */
    const double side = device.y > 0 ? 1 : -1;
    double enter = spot.x;
    if (fabs(spot.y) < HALF_CORRIDOR_M) {
        enter += dx * (side * HALF_CORRIDOR_M - spot.y) / dy;
        loss += 6;
    } else if (spot.y * side < 0) {
        loss += 12; /* from a closet on the other side */
    }
    loss += 5 * fabs(floor(enter / ROOM_WIDTH_M) - floor(device.x / ROOM_WIDTH_M));
    return loss;
}

static place device_at(const hotel_plan *plan, uint32_t index, uint32_t *state)
{
    const uint32_t room = index / 2, floor_no = room / plan->rooms, on_floor = room % plan->rooms;
    const double side = on_floor % 2 ? -1 : 1, left = ROOM_WIDTH_M * (on_floor / 2);
    place p = {left + 0.8, side * (HALF_CORRIDOR_M + 0.05), STOREY_M * floor_no + 1.0, floor_no};
    if (index % 2) {
        p.x = left + 0.2 + draw(state) * (ROOM_WIDTH_M - 0.4);
        p.y = side * (HALF_CORRIDOR_M + 0.3 + draw(state) * (ROOM_DEPTH_M - 0.5));
        p.z += 0.2;
    }
    return p;
}

static place spot_at(const hotel_plan *plan, uint32_t on_floor, uint32_t corridor, uint32_t floor_no)
{
    const double length = ROOM_WIDTH_M * (plan->rooms / 2);
    place p = {(on_floor + 0.5) * plan->spot_every_m, 0, STOREY_M * floor_no + 2.8, floor_no};
    if (on_floor >= corridor) { /* the closets, a third from each end */
        p.x = length * (on_floor == corridor ? 1.0 / 3 : 2.0 / 3) + 0.5;
        p.y = on_floor == corridor ? 2.0 : -2.0;
    }
    return p;
}

static bool fill(const hotel_plan *plan, hotel *made, const place *devices, size_t rows, uint32_t *state)
{
    const uint32_t corridor = (uint32_t)(ROOM_WIDTH_M * (plan->rooms / 2) / plan->spot_every_m + 0.5);
    size_t n = 0, cap_row = 0, cap_quality = 0;
    for (uint32_t c = 0; c < made->problem.columns; c++) {
        const uint32_t floor_no = c / (corridor + 2);
        const place spot = spot_at(plan, c % (corridor + 2), corridor, floor_no);
        if (!HR_RESERVE(made->row, cap_row, n + rows) || !HR_RESERVE(made->quality, cap_quality, n + rows)) {
            return false;
        }
        for (uint32_t r = 0; r < rows; r++) {
            const double loss = loss_db(plan, spot, devices[r]) + plan->sigma_db * draw_normal(state);
            if (loss <= plan->budget_db) {
                made->row[n] = r;
                made->quality[n++] = hr_micro(plan->budget_db - loss);
            }
        }
        made->start[c + 1] = n;
    }
    return true;
}

bool hotel_make(const hotel_plan *plan, hotel *made)
{
    const size_t rows = (size_t)plan->floors * plan->rooms * 2;
    const uint32_t corridor = (uint32_t)(ROOM_WIDTH_M * (plan->rooms / 2) / plan->spot_every_m + 0.5);
    const size_t columns = (size_t)plan->floors * (corridor + 2);
    uint32_t state = plan->seed * 2654435761U + 12345;
    *made = (hotel){.problem = {.rows = rows, .columns = columns}};
    place *devices = hr_alloc(rows, sizeof *devices);
    made->start = hr_alloc_zero(columns + 1, sizeof *made->start);
    made->need = hr_alloc(rows, sizeof *made->need);
    bool ok = devices && made->start && made->need;
    for (uint32_t r = 0; ok && r < rows; r++) {
        devices[r] = device_at(plan, r, &state);
        made->need[r] = plan->need;
    }
    ok = ok && fill(plan, made, devices, rows, &state);
    hr_free(devices);
    if (!ok) {
        hotel_free(made);
        return false;
    }
    made->problem.column_start = made->start;
    made->problem.column_row = made->row;
    made->problem.quality = made->quality;
    made->problem.need = made->need;
    return true;
}

void hotel_free(hotel *made)
{
    hr_free(made->start);
    hr_free(made->row);
    hr_free(made->quality);
    hr_free(made->need);
    *made = (hotel){0};
}
