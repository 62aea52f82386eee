/*
 * hr_outline.h - storey plans and a property file from numbers alone, for
 * buildings nobody has drawn yet.
 *
 * Numbers in, text out: plans in the naming convention of hr_plan.h and the
 * property file that goes with them. The same request gives the same bytes.
 * Every storey, the lowest included, has exactly the guest rooms asked for and
 * nothing else in `rooms`; what is left over is stores, stairs, lifts and
 * closets. Distances are held in whole millimetres.
 *
 * Defaults and where they come from:
 *   bay             3.8 m (12.5 ft)  between centre lines of the party walls; a clear 3.6 m is a mid-grade room,
 *                                    bays run 3.66-3.96 m (12-13 ft; that range from memory)
 *   depth           7.0 m (23 ft)    clear from corridor wall to outer wall, bath and lobby included: mid grade of
 *                                    5.8 / 7.0 / 8.7 m
 *   corridor        1.83 m (6 ft)    clear; "normally 6 ft", the code minimum is 44 in (1.12 m)
 *   floor-to-floor  3.0 m (10 ft)    9-10 ft, 2.75-3.05 m (from memory)
 *   baths           2.00 x 2.35 m    mid grade; 2.00 x 2.15 m in rooms under 5.8 m deep
 *   entry door      0.9 m leaf       0.8 m at least, 0.9 m the optimum
 *   party-wall      framed-double    a sound rating of 50 takes two boards a side
 *   slab            concrete-200     flat slab of 175-200 mm (from memory)
 *   other materials, lifts, stairs, closets, the radio figures: assumed; lifts 2.1 x 2.1 m clear, stairs 2.6 m clear
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_OUTLINE_H
#define HR_OUTLINE_H

#include "hr_base.h"
#include "hr_units.h"

#ifdef __cplusplus
extern "C" {
#endif

#define HR_OUTLINE_MAX_ROOMS 240L
#define HR_OUTLINE_MAX_STOREYS 100L
#define HR_OUTLINE_AUTO (-1L)

typedef enum hr_outline_shape {
    HR_OUTLINE_SINGLE_SIDED = 0, /* rooms on one side of the corridor     */
    HR_OUTLINE_DOUBLE_LOADED,    /* rooms on both sides of one corridor   */
    HR_OUTLINE_L,                /* two legs, rooms on both sides         */
    HR_OUTLINE_U,                /* three legs                            */
    HR_OUTLINE_T,                /* a leg in the middle of another        */
    HR_OUTLINE_COURTYARD         /* four legs round a court               */
} hr_outline_shape;

typedef enum hr_outline_numbering {
    HR_OUTLINE_AROUND = 0, /* down one side of the corridor and back along the other */
    HR_OUTLINE_ODD_EVEN    /* odd numbers on one side, even on the other             */
} hr_outline_numbering;

#define HR_OUTLINE_NAME_MAX 128
#define HR_OUTLINE_MATERIAL_MAX 48

/* What is asked for. Lengths are in length_unit; NaN stands for the default. */
typedef struct hr_outline_request {
    long rooms_per_storey; /* 1 to HR_OUTLINE_MAX_ROOMS; 0: not given, an error */
    long storeys;          /* 1 to HR_OUTLINE_MAX_STOREYS */
    hr_outline_shape shape;
    hr_length_unit length_unit;
    double bay;            /* 2.4 to 9 m, centre line to centre line */
    double depth;          /* 4.5 to 12 m, clear */
    double corridor;       /* 1.12 to 4 m, clear */
    double floor_to_floor; /* 2.4 to 6 m */
    bool baths, exterior_corridors;
    long lifts, stairs, closets; /* 0 to 6; HR_OUTLINE_AUTO: by size */
    hr_outline_numbering numbering;
    long first_number;              /* 1 to 500, of the rooms of a storey */
    long first_storey;              /* 0 to 100, the lowest storey's number */
    double frequency_mhz;           /* 300 to 6000 */
    char name[HR_OUTLINE_NAME_MAX]; /* of the property; "": taken from the file */
    /* rows of the attenuation tables; not looked up here. "": the default */
    char party_wall[HR_OUTLINE_MATERIAL_MAX];
    char corridor_wall[HR_OUTLINE_MATERIAL_MAX]; /* with exterior corridors: the outer wall's */
    char outer_wall[HR_OUTLINE_MATERIAL_MAX];
    char core_wall[HR_OUTLINE_MATERIAL_MAX];
    char entry_door[HR_OUTLINE_MATERIAL_MAX];
    char window[HR_OUTLINE_MATERIAL_MAX];
    char slab[HR_OUTLINE_MATERIAL_MAX];
} hr_outline_request;

HR_API void hr_outline_defaults(hr_outline_request *request);

/* One option of a request: the source of parsing, help and the manual page. */
typedef struct hr_outline_option {
    const char *name;     /* without dashes, "rooms-per-storey" */
    const char *argument; /* "N", "LENGTH", "MATERIAL" ... */
    const char *help;     /* one line, with the default */
} hr_outline_option;

HR_API size_t hr_outline_option_count(void);
HR_API const hr_outline_option *hr_outline_option_at(size_t index); /* NULL past the last */

/* Sets one option from its text, in any order. HR_ERR_ARGUMENT names the option, what is
 * wrong and what was expected. */
HR_API hr_status hr_outline_set(hr_outline_request *request, const char *option, const char *value, hr_error *err);

/* The option whose value is a material, by number, with the name in force; NULL past the last.
 * Lets a caller check names against the tables. */
HR_API const char *hr_outline_material(const hr_outline_request *request, size_t index, const char **option);

/* One plan: SVG text and the file name the property file calls it by. */
typedef struct hr_outline_plan {
    char *file; /* "hotel-1.svg", "hotel-2-6.svg" */
    hr_text svg;
} hr_outline_plan;

typedef struct hr_outline {
    hr_text property;
    hr_outline_plan plans[2]; /* the lowest storey; all others */
    size_t plan_count;
    size_t rooms; /* of the whole property */
} hr_outline;

/*
 * Draws the plans and writes the property file. stem is the property file's
 * name without folder and ".ini"; plans are called stem-STOREY.svg.
 * HR_ERR_ARGUMENT: a value is outside its range, or the numbers do not fit
 * together; the text names the option. Free with hr_outline_free.
 */
HR_API hr_status hr_outline_make(const hr_outline_request *request, const char *stem, hr_outline **outline,
                                 hr_error *err);
HR_API void hr_outline_free(hr_outline *outline); /* NULL is fine */

#ifdef __cplusplus
}
#endif
#endif
