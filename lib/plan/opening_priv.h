/*
 * opening_priv.h - shared by the files that place openings.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef OPENING_PRIV_H
#define OPENING_PRIV_H

#include "plan_priv.h"

/* A wall opened over less than this is not opened. */
#define OPENED_MIN_M 0.001

/* Where a piece lies; what comes later wins. */
typedef enum place { STANDS_FREE = 0, BETWEEN_BODIES, ON_SOLID, IN_GAP, ON_WALL } place;

typedef struct opening_work {
    plan_reader *r;
    hr_index *walls;   /* ids are wall indices, gaps filled not among them */
    size_t wall_count; /* without gaps filled */
    hr_index *edges;   /* of all solids */
    hr_segment *edge_lines;
    plan_boxes *solid_boxes;
    size_t edge_count;
    hr_span *cover; /* stretches of a piece that walls run along */
    size_t cover_cap;
    hr_segment *pieces; /* of the unit at hand */
    size_t *piece_shape;
    size_t piece_count, piece_cap, piece_shape_cap;
    plan_ids free_units; /* first shapes of what lies on nothing */
    hr_index *placed;    /* openings that lie on something */
} opening_work;

static inline bool opening_reaches(hr_segment piece, hr_segment line)
{
    return hr_geometry_to_segment(piece.a, line, NULL) <= PLAN_OPENING_REACH_M &&
           hr_geometry_to_segment(piece.b, line, NULL) <= PLAN_OPENING_REACH_M;
}

/* Opens every wall the piece lies on. */
hr_status opening_try_walls(opening_work *w, hr_segment piece, uint32_t opening, bool *found);
/* Fills the gap between the ends of two walls with a wall that the piece opens. */
hr_status opening_try_gap(opening_work *w, hr_segment piece, size_t shape, uint32_t opening, bool *found);
/* Along an edge of a solid or inside one. */
hr_status opening_try_solids(opening_work *w, hr_segment piece, bool *found);
/* A door between two wall bodies, or between a wall's end and another wall's side. */
hr_status opening_stands_between(opening_work *w, hr_segment piece, bool *between);
/* Where the swing of a door's leaf (a quarter of a circle among the pieces of
 * the unit at hand) says the door is: from the hinge to either end of the swing. */
bool opening_swing(const opening_work *w, hr_segment lines[2]);
/* Whether the unit at hand starts at an end of a door or window that was placed. */
hr_status opening_is_rest(opening_work *w, bool *rest);
hr_status opening_index_solids(opening_work *w);

#endif
