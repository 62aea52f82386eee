/*
 * grid_look.h - walls against eight places or parts of a grid at a time,
 * included by grid_plain.c and grid_wide.c: the same text built for two kinds of
 * processor. Each defines
 *
 *   LOOK_TARGET               attribute of each function
 *   look_below_zero(v)        one bit for each of eight numbers below zero
 *   look_clear(sums)          eight sums to 0
 *   look_add(sums, met, weight)   adds the weight to each of eight sums whose `met` is above zero
 *
 * Single precision says of each place "surely crossed", "surely not" or "cannot
 * tell"; the last are few and are settled in double, so the sums do not hang on
 * single precision, nor on the build.
 *
 * SPDX-License-Identifier: MIT
 */

static ALWAYS_INLINE LOOK_TARGET float smaller(float a, float b)
{
    return a < b ? a : b;
}

static ALWAYS_INLINE LOOK_TARGET void look_at_parts(const grid_wall *walls, const uint32_t *list, size_t count,
                                                    const grid_parts *parts, uint8_t *masks)
{
    for (size_t k = 0; k < count; k++) {
        const grid_wall w = walls[list[k]];
        /* the most that each of the three can be above its value at the middle */
        const float more_a = fabsf(w.ax) * parts->half_y + fabsf(w.ay) * parts->half_x + parts->error;
        const float more_b = fabsf(w.bx) * parts->half_y + fabsf(w.by) * parts->half_x + parts->error;
        const float more_d = fabsf(w.dx) * parts->half_y + fabsf(w.dy) * parts->half_x + parts->error - w.lean;
        float most[GRID_SIDE];
        for (unsigned i = 0; i < GRID_SIDE; i++) {
            const float x = parts->x[i], y = parts->y[i];
            const float a = w.ax * y - w.ay * x + more_a;
            const float b = w.by * x - w.bx * y + more_b;
            const float d = w.dy * x - w.dx * y + more_d;
            most[i] = smaller(smaller(a, b), d);
        }
        masks[k] = (uint8_t)~look_below_zero(most);
    }
}

static ALWAYS_INLINE LOOK_TARGET void look_at_tile(const grid_wall *walls, const double *weights, const uint32_t *list,
                                                   size_t count, grid_tile *tile)
{
    const float error = tile->error;
    for (size_t row = tile->row0; row < tile->row1; row++) {
        look_clear(tile->sums[row]);
    }
    for (size_t k = 0; k < count; k++) {
        const grid_wall *w = &walls[list[k]];
        const double weight = weights[w->id & ~GRID_OTHER_HALF];
        float a[GRID_SIDE], b[GRID_SIDE], d[GRID_SIDE];
        for (unsigned i = 0; i < GRID_SIDE; i++) {
            a[i] = -w->ay * tile->x[i];
            b[i] = w->by * tile->x[i];
            d[i] = w->dy * tile->x[i] - w->lean;
        }
        for (size_t row = tile->row0; row < tile->row1; row++) {
            const float y = tile->y[row], row_a = w->ax * y, row_b = w->bx * y, row_d = w->dx * y;
            float met[GRID_SIDE], clear[GRID_SIDE];
            for (unsigned i = 0; i < GRID_SIDE; i++) {
                met[i] = smaller(smaller(a[i] + row_a, b[i] - row_b), d[i] - row_d);
                clear[i] = fabsf(met[i]) - error;
            }
            const unsigned doubtful = look_below_zero(clear);
            if (__builtin_expect(doubtful != 0, 0)) {
                const unsigned crossed = geometry_grid_settle(tile, w, row, doubtful);
                for (unsigned i = 0; i < GRID_SIDE; i++) {
                    if ((doubtful >> i & 1u) != 0) {
                        met[i] = (crossed >> i & 1u) != 0 ? 1.0f : -1.0f;
                    }
                }
            }
            look_add(tile->sums[row], met, weight);
        }
    }
}
