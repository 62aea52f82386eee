/*
 * grid.c - sums of what lines from one place cross on their way to the places
 * of a grid. The grid is cut into parts, again and again; each part is asked of
 * the segments that its parent may be shadowed by. What is left at a tile of
 * eight by eight places is looked at place by place.
 *
 * SPDX-License-Identifier: MIT
 */
#include "grid_priv.h"

#include <math.h>
#include <string.h>

/* Each second level is eight times as long and wide. */
#define LEVELS_MAX 48u
/* Sizes below this leave the range of single precision. */
#define SINGLE_MIN_M 1e-30
/* The product of two such, and of that with what is left of roundings, is a number still. */
#define PRODUCT_MIN_M 1e-100
/* Beyond this single precision has no number for a place at all. */
#define GRID_MAX 1e30
/* Roundings of a place's coordinates in double, beside their size. */
#define PLACE_ERROR 0x1p-50

typedef struct sweep {
    const hr_segment *segments;
    const double *weights;
    hr_point from;
    const hr_grid *grid;
    const uint8_t *wanted;
    double *sums;
    grid_wall *walls;
    size_t wall_count;
    size_t tile_columns, tile_rows;
    uint8_t *has_wanted;         /* of each tile */
    uint32_t *lists[LEVELS_MAX]; /* wall_count each */
    uint8_t *masks;              /* wall_count for each level */
    size_t top;
    double size; /* of all coordinates of the grid */
    bool wide;
} sweep;

static inline size_t at_most_side(size_t count)
{
    return count < GRID_SIDE ? count : GRID_SIDE;
}

/* ---- walls as seen from the origin ----------------------------------------- */

static double size_of(hr_point p)
{
    return fabs(p.x) + fabs(p.y);
}

static grid_wall wall_between(hr_point a, hr_point b, double twice_area, uint32_t id)
{
    const double a_size = size_of(a), b_size = size_of(b), both = a_size + b_size;
    return (grid_wall){.ax = (float)(a.x / a_size),
                       .ay = (float)(a.y / a_size),
                       .bx = (float)(b.x / b_size),
                       .by = (float)(b.y / b_size),
                       .dx = (float)((b.x - a.x) / both),
                       .dy = (float)((b.y - a.y) / both),
                       .lean = (float)(twice_area / both),
                       .id = id};
}

/* Good to its last digits, not only in its sign. */
static double twice_area_of(hr_segment s, hr_point from)
{
    double size = 0.0;
    (void)geometry_orient_rough(s.a, s.b, from, &size);
    const double area = geometry_orient(s.a, s.b, from);
    const bool cancelled = area != 0.0 && fabs(area) <= ORIENT_CANCELLED * size;
    return cancelled ? geometry_orient_exact(s.a, s.b, from) : area;
}

/* Products of such differences do not underflow, so that signs of areas are right. */
static bool is_told(hr_point p)
{
    return (p.x == 0.0 || fabs(p.x) >= PRODUCT_MIN_M) && (p.y == 0.0 || fabs(p.y) >= PRODUCT_MIN_M);
}

static void add_wall(sweep *s, uint32_t id)
{
    const hr_segment line = s->segments[id];
    const hr_point a = {line.a.x - s->from.x, line.a.y - s->from.y}, b = {line.b.x - s->from.x, line.b.y - s->from.y};
    const hr_point way = {line.b.x - line.a.x, line.b.y - line.a.y};
    grid_wall *wall = &s->walls[s->wall_count++];
    const double twice_area = twice_area_of(line, s->from);
    const bool told =
        is_told(a) && is_told(b) && is_told(way) && size_of(a) + size_of(b) + s->size <= GEOMETRY_SINGLE_MAX_M;
    if (told && twice_area == 0.0 && geometry_on_segment(s->from, line)) {
        const hr_point back = {-way.x, -way.y};
        *wall = wall_between(back, way, 0.0, id);
        s->walls[s->wall_count++] = wall_between(way, back, 0.0, id | GRID_OTHER_HALF);
        return;
    }
    if (told && size_of(a) >= SINGLE_MIN_M && size_of(b) >= SINGLE_MIN_M && size_of(way) >= SINGLE_MIN_M) {
        *wall = twice_area >= 0.0 ? wall_between(a, b, twice_area, id) : wall_between(b, a, -twice_area, id);
        return;
    }
    *wall = (grid_wall){.id = id}; /* nothing is told of it in single precision */
}

/* ---- tiles ------------------------------------------------------------------ */

unsigned geometry_grid_settle(const grid_tile *tile, const grid_wall *wall, size_t row, unsigned doubtful)
{
    unsigned crossed = 0;
    if ((wall->id & GRID_OTHER_HALF) == 0) {
        for (unsigned i = 0; i < GRID_SIDE; i++) {
            const hr_point place = hr_geometry_grid_place(tile->grid, tile->column + i, tile->row + row);
            if ((doubtful >> i & 1u) != 0 &&
                hr_geometry_cross((hr_segment){tile->from, place}, tile->segments[wall->id], NULL, NULL)) {
                crossed |= 1u << i;
            }
        }
    }
    return crossed;
}

static bool is_wanted(const sweep *s, size_t column, size_t row)
{
    return s->wanted == NULL || s->wanted[row * s->grid->columns + column] != 0;
}

static float error_of(const sweep *s, double size)
{
    return (float)(INDEX_ERROR * size + PLACE_ERROR * s->size + SINGLE_MIN_M);
}

/* Places of the tile from the origin, those beyond the grid's edges too: they are not kept. */
static void lay_tile(const sweep *s, grid_tile *tile)
{
    double x_most = 0.0, y_most = 0.0;
    for (size_t i = 0; i < GRID_SIDE; i++) {
        const hr_point place = hr_geometry_grid_place(s->grid, tile->column + i, tile->row + i);
        tile->x[i] = (float)(place.x - s->from.x);
        tile->y[i] = (float)(place.y - s->from.y);
        x_most = larger(x_most, fabs(place.x - s->from.x));
        y_most = larger(y_most, fabs(place.y - s->from.y));
    }
    tile->error = error_of(s, x_most + y_most);
}

/* Of a row of the grid, `columns` places from `column` on; most of a grid is often not wanted. */
static inline bool row_has_wanted(const sweep *s, size_t column, size_t columns, size_t row)
{
    uint64_t bytes = 0;
    if (s->wanted == NULL) {
        return true;
    }
    if (columns == GRID_SIDE) { /* one load */
        memcpy(&bytes, &s->wanted[row * s->grid->columns + column], GRID_SIDE);
    } else {
        memcpy(&bytes, &s->wanted[row * s->grid->columns + column], columns);
    }
    return bytes != 0;
}

static void sum_tile(const sweep *s, size_t tile_column, size_t tile_row, const uint32_t *list, size_t count)
{
    grid_tile tile; /* not cleared as a whole: that would take as long as a wall or two */
    tile.grid = s->grid;
    tile.segments = s->segments;
    tile.from = s->from;
    tile.column = tile_column * GRID_SIDE;
    tile.row = tile_row * GRID_SIDE;
    const size_t columns = at_most_side(s->grid->columns - tile.column);
    tile.row0 = 0;
    tile.row1 = at_most_side(s->grid->rows - tile.row);
    while (tile.row0 < tile.row1 && !row_has_wanted(s, tile.column, columns, tile.row + tile.row0)) {
        tile.row0++;
    }
    while (tile.row0 < tile.row1 && !row_has_wanted(s, tile.column, columns, tile.row + tile.row1 - 1)) {
        tile.row1--;
    }
    lay_tile(s, &tile);
    if (s->wide) {
        geometry_grid_tile_wide(s->walls, s->weights, list, count, &tile);
    } else {
        geometry_grid_tile_plain(s->walls, s->weights, list, count, &tile);
    }
    for (size_t row = tile.row0; row < tile.row1; row++) {
        for (size_t i = 0; i < columns; i++) {
            if (is_wanted(s, tile.column + i, tile.row + row)) {
                s->sums[(tile.row + row) * s->grid->columns + tile.column + i] = tile.sums[row][i];
            }
        }
    }
}

/* ---- parts ------------------------------------------------------------------ */

/* In tiles: 1 x 1, 4 x 2, 8 x 8, 32 x 16, 64 x 64 and so on. */
static void part_size(size_t level, size_t *columns, size_t *rows)
{
    const size_t square = (size_t)1 << level / 2 * 3;
    *columns = level % 2 == 0 ? square : 4 * square;
    *rows = level % 2 == 0 ? square : 2 * square;
}

/* From a node's first tile to that of its part i: two parts across and four down, or the other way round. */
static void go_to_part(size_t level, size_t i, size_t *column, size_t *row)
{
    size_t columns, rows;
    part_size(level - 1, &columns, &rows);
    const size_t across = level % 2 == 0 ? 2 : 4;
    *column += i % across * columns;
    *row += i / across * rows;
}

static bool part_has_wanted(const sweep *s, size_t column, size_t row, size_t columns, size_t rows)
{
    for (size_t r = row; r < row + rows && r < s->tile_rows; r++) {
        for (size_t c = column; c < column + columns && c < s->tile_columns; c++) {
            if (s->has_wanted[r * s->tile_columns + c] != 0) {
                return true;
            }
        }
    }
    return false;
}

/* Middles of the parts of a node, which begins at this tile. */
static void lay_parts(const sweep *s, size_t level, size_t column, size_t row, grid_parts *parts)
{
    size_t columns, rows;
    part_size(level - 1, &columns, &rows);
    const double half_x = 0.5 * s->grid->step * (double)(columns * GRID_SIDE - 1);
    const double half_y = 0.5 * s->grid->step * (double)(rows * GRID_SIDE - 1);
    double most = 0.0;
    for (size_t i = 0; i < GRID_SIDE; i++) {
        size_t part_column = column, part_row = row;
        go_to_part(level, i, &part_column, &part_row);
        const hr_point first = hr_geometry_grid_place(s->grid, part_column * GRID_SIDE, part_row * GRID_SIDE);
        const hr_point middle = {first.x + half_x - s->from.x, first.y + half_y - s->from.y};
        parts->x[i] = (float)middle.x;
        parts->y[i] = (float)middle.y;
        most = larger(most, size_of(middle));
    }
    parts->half_x = (float)half_x;
    parts->half_y = (float)half_y;
    /* twice what a tile allows: a wall that the origin lies on is two halves, and the first, which settles doubt for
     * both, must not be left out where the second is in doubt */
    parts->error = 2.0f * error_of(s, most + half_x + half_y);
}

static void sum_node(const sweep *s, size_t level, size_t column, size_t row, const uint32_t *list, size_t count)
{
    if (level == 0) {
        sum_tile(s, column, row, list, count);
        return;
    }
    grid_parts parts;
    lay_parts(s, level, column, row, &parts);
    uint8_t *masks = &s->masks[(level - 1) * s->wall_count];
    if (s->wide) {
        geometry_grid_parts_wide(s->walls, list, count, &parts, masks);
    } else {
        geometry_grid_parts_plain(s->walls, list, count, &parts, masks);
    }
    size_t columns, rows;
    part_size(level - 1, &columns, &rows);
    for (size_t i = 0; i < GRID_SIDE; i++) {
        size_t part_column = column, part_row = row;
        go_to_part(level, i, &part_column, &part_row);
        if (part_has_wanted(s, part_column, part_row, columns, rows)) {
            uint32_t *left = s->lists[level - 1];
            size_t found = 0;
            for (size_t k = 0; k < count; k++) {
                left[found] = list[k];
                found += masks[k] >> i & 1u;
            }
            sum_node(s, level - 1, part_column, part_row, left, found);
        }
    }
}

/* ---- the question ------------------------------------------------------------ */

static bool is_finite(hr_point p)
{
    return isfinite(p.x) && isfinite(p.y);
}

static bool is_grid_in_order(const hr_grid *grid, hr_point from, double size)
{
    return is_finite(from) && is_finite(grid->first) && isfinite(grid->step) && grid->step > 0.0 && size <= GRID_MAX &&
           grid->rows <= SIZE_MAX / grid->columns / sizeof(double);
}

static bool are_walls_in_order(const hr_segment *segments, const double *weights, size_t count)
{
    bool good = count < GRID_OTHER_HALF / 2;
    for (size_t i = 0; i < count && good; i++) {
        good = is_finite(segments[i].a) && is_finite(segments[i].b) && isfinite(weights[i]);
    }
    return good;
}

/* Tiles with places that are wanted, and the level of one node that holds them all. */
static bool lay_out(sweep *s, size_t count)
{
    s->tile_columns = (s->grid->columns + GRID_SIDE - 1) / GRID_SIDE;
    s->tile_rows = (s->grid->rows + GRID_SIDE - 1) / GRID_SIDE;
    size_t columns = 1, rows = 1;
    while (columns < s->tile_columns || rows < s->tile_rows) {
        part_size(++s->top, &columns, &rows);
    }
    s->has_wanted = hr_alloc_zero(s->tile_columns, s->tile_rows);
    s->walls = hr_alloc(2 * count + 1, sizeof *s->walls);
    if (s->has_wanted == NULL || s->walls == NULL) {
        return false;
    }
    const size_t whole = s->grid->columns / GRID_SIDE, rest = s->grid->columns % GRID_SIDE;
    for (size_t row = 0; row < s->grid->rows; row++) {
        uint8_t *has_wanted = &s->has_wanted[row / GRID_SIDE * s->tile_columns];
        for (size_t tile = 0; tile < whole; tile++) {
            has_wanted[tile] |= row_has_wanted(s, tile * GRID_SIDE, GRID_SIDE, row) ? 1 : 0;
        }
        if (rest > 0) {
            has_wanted[whole] |= row_has_wanted(s, whole * GRID_SIDE, rest, row) ? 1 : 0;
        }
    }
    return true;
}

/* A list of walls for each level, the last of all walls. */
static bool make_lists(sweep *s)
{
    s->masks = hr_alloc(s->wall_count, s->top + 1);
    bool good = s->masks != NULL;
    for (size_t level = 0; level <= s->top; level++) {
        s->lists[level] = hr_alloc(s->wall_count + 1, sizeof *s->lists[level]);
        good = good && s->lists[level] != NULL;
    }
    for (size_t i = 0; good && i < s->wall_count; i++) {
        s->lists[s->top][i] = (uint32_t)i;
    }
    return good;
}

static bool add_walls(sweep *s, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const hr_segment line = s->segments[i];
        if (line.a.x != line.b.x || line.a.y != line.b.y) {
            add_wall(s, (uint32_t)i);
        }
    }
    return make_lists(s);
}

static void free_sweep(sweep *s)
{
    hr_free(s->has_wanted);
    hr_free(s->walls);
    hr_free(s->masks);
    for (size_t level = 0; level <= s->top; level++) {
        hr_free(s->lists[level]);
    }
}

hr_status geometry_grid_sums(bool wide, const hr_segment *segments, const double *weights, size_t count, hr_point from,
                             const hr_grid *grid, const uint8_t *wanted, double *sums, hr_error *err)
{
    if (grid->columns == 0 || grid->rows == 0) {
        return HR_OK;
    }
    const hr_point last = hr_geometry_grid_place(grid, grid->columns + GRID_SIDE, grid->rows + GRID_SIDE);
    const double size = size_of(from) + size_of(grid->first) + size_of(last);
    if (!is_grid_in_order(grid, from, size) || !are_walls_in_order(segments, weights, count)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "segments, weights or grid are not finite, or too large");
    }
    sweep s = {.segments = segments,
               .weights = weights,
               .from = from,
               .grid = grid,
               .wanted = wanted,
               .sums = sums,
               .size = size,
               .wide = wide};
    const bool good = lay_out(&s, count) && add_walls(&s, count);
    if (good) {
        sum_node(&s, s.top, 0, 0, s.lists[s.top], s.wall_count);
    }
    free_sweep(&s);
    return good ? HR_OK : hr_fail_memory(err);
}

hr_status hr_geometry_grid_sums(const hr_segment *segments, const double *weights, size_t count, hr_point from,
                                const hr_grid *grid, const uint8_t *wanted, double *sums, hr_error *err)
{
    return geometry_grid_sums(geometry_has_wide(), segments, weights, count, from, grid, wanted, sums, err);
}
