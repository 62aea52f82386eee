/*
 * hr_propagation.h - the formulas: numbers in, numbers out. Each names its
 * document, edition and equation. Pure functions, total on their stated
 * domain; outside it they give NaN unless the comment says otherwise.
 *
 * Editions: ITU-R P.1238-8/-10/-11, P.2040-3 (and -1), P.526; read in secondary
 * texts. P.1238-13 and P.2040-4 (09/2025) were not compared.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_PROPAGATION_H
#define HR_PROPAGATION_H

#include "hr_base.h"
#include "hr_materials.h"

#ifdef __cplusplus
extern "C" {
#endif

/* No single passage is reported to lose more: beyond it leakage round the
 * thing decides, and a sheet of metal would read thousands. */
#define HR_LOSS_MAX_DB 200.0

/* ---- spreading ----------------------------------------------------------- */

/*
 * Free-space path loss, 20 log10 f_MHz + 20 log10 d_m - 27.5522, d > 0.
 * Source: ITU-R P.525, basic transmission loss between isotropic antennas.
 */
HR_API double hr_propagation_free_space_db(double freq_mhz, double dist_m);

/*
 * Log-distance path loss from 1 m: FSPL(1 m) + 10 n log10(max(d, 1 m)).
 * Source: Rappaport, Wireless Communications 2nd ed., eq. 4.69a, with d0 = 1 m.
 */
HR_API double hr_propagation_log_distance_db(double freq_mhz, double exponent, double dist_m);

/*
 * One-slope path loss L0 + 10 n log10(max(d, 1 m)) with a measured loss at 1 m.
 * Source: COST 231 Final Report, ch. 4.7, eq. 4.7.1.
 */
HR_API double hr_propagation_one_slope_db(double metre_db, double exponent, double dist_m);

/*
 * Factor of the k-th floor crossed (k >= 1), k^((k+2)/(k+1) - 0.46) less that of
 * k - 1: 1, 0.832, 0.550 ... so that k equal floors give COST 231's floor term.
 * k = 0 gives 0.
 * Source: COST 231 Final Report, ch. 4.7, eq. 4.7.2.
 */
HR_API double hr_propagation_floor_factor(unsigned k);

/*
 * Factor of the i-th wall (i >= 1, losses sorted descending) under
 * `wall_saturation = p`: i^p - (i-1)^p for the first three, 1 beyond; p in
 * (0, 1]. Measured support reaches three walls (Kolakowski 2021), no further.
 */
HR_API double hr_propagation_saturation_factor(unsigned i, double p);

/* ---- diffraction ---------------------------------------------------------- */

/*
 * Loss over a single knife edge: J(v) = 6.9 + 20 log10(sqrt((v-0.1)^2+1) + v - 0.1)
 * for v > -0.78, else 0. Total; NaN gives NaN.
 * Source: ITU-R P.526, single knife-edge obstacle, approximation; P.2001 s. 3.12.
 */
HR_API double hr_propagation_knife_edge_db(double v);

/*
 * Diffraction parameter v = h sqrt(2 (d1+d2) / (lambda d1 d2)): h is the edge's
 * height above the straight line (negative: clear of it), d1 and d2 > 0 the
 * distances along the line to both ends.
 * Source: ITU-R P.526, single knife-edge obstacle.
 */
HR_API double hr_propagation_fresnel_v(double freq_mhz, double height_m, double d1_m, double d2_m);

/*
 * Radius of the n-th Fresnel zone, sqrt(n lambda d1 d2 / (d1+d2)), d1, d2 > 0, n >= 1.
 * Source: ITU-R P.526, Fresnel ellipsoids.
 */
HR_API double hr_propagation_fresnel_radius_m(double freq_mhz, unsigned zone, double d1_m, double d2_m);

/* Two edges in series, in order from one end: distances along the straight
 * line end - edge 1 - edge 2 - end (d1, d3 > 0, d2 >= 0) and the edges' heights
 * above that line. */
typedef struct hr_edge_pair {
    double d1_m, d2_m, d3_m;
    double height1_m, height2_m;
} hr_edge_pair;

/*
 * Loss over two edges: the one with the larger v is the main edge, the other is
 * taken over the line from the main edge to the far end, less the correction Tc
 * for their nearness: J(v_main) + T (J(v_other) - Tc), T = 1 - exp(-J(v_main)/6).
 * T lets the second edge fade as the line clears the first, and Tc counts v
 * from -0.78, so that the loss does not jump when the main edge changes or a
 * ray comes clear; against the exact integral it errs by 0.5 dB rms. Edges
 * nearer to each other than one wavelength count as one at their mean.
 * Source: ITU-R P.526, double isolated edges with a predominant edge and Tc,
 * after J. Deygout, IEEE Trans. Antennas Propag. 14(4), 1966; T as in the cascaded
 * knife-edge method of P.526 (all from memory).
 */
HR_API double hr_propagation_double_edge_db(double freq_mhz, const hr_edge_pair *pair);

/*
 * A metal body: `through_db` (INFINITY where the straight line does not cross it
 * and nothing passes by that way) and the losses J of its edges, combined by power:
 * max(0, -10 log10(10^(-through/10) + sum 10^(-J_i/10))). No way at all: HR_LOSS_MAX_DB.
 */
HR_API double hr_propagation_metal_db(double through_db, const double *edges_db, size_t count);

/*
 * Share of the through term that counts when the lightest way round an edge
 * loses edge_db: all of it from J(0) on, where the straight line meets the metal;
 * beside the metal (1 - 10^(-J/10)) / (1 - 10^(-J(0)/10)), the power that the edge
 * takes away, down to none at J = 0. So the loss does not step where the line
 * enters metal that lets much through, and metal that loses nothing costs nothing.
 * Assumed: P.526 knows opaque edges only.
 */
HR_API double hr_propagation_through_share(double edge_db);

/*
 * Loss of an antenna at distance s from a large metal plane: 10 dB below
 * lambda/4, falling linearly to 0 at lambda.
 * Source: aluminium slab figure of Griffin, Durgin et al., IEEE AWPL 5, 2006
 * (10.4 dB at 915 MHz, from memory); the fall with distance is assumed.
 */
HR_API double hr_propagation_metal_clearance_db(double freq_mhz, double dist_m);

/*
 * Loss of a bend from one corridor or room into the next: min(J(v), 15 dB).
 * Source of the cap: right-angle corners measure 10-15 dB (Rappaport, Table 4.3,
 * 1.3 GHz, from memory).
 */
HR_API double hr_propagation_bend_db(double v);

/* ---- slabs ---------------------------------------------------------------- */

typedef enum hr_polarisation { HR_TE = 0, HR_TM } hr_polarisation;

/* A complex number; the sign convention is e^(+jwt), losses are negative im. */
typedef struct hr_complex {
    double re, im;
} hr_complex;

/* eta = a f^b - j 17.98 sigma / f, f in GHz, 17.98 standing for 1 / (2 pi eps0).
 * Source: ITU-R P.2040-3, eq. (28), (29)
 * and Table 3 (equation numbers from memory). */
HR_API hr_complex hr_propagation_permittivity(const hr_permittivity *material, double freq_mhz);
/* sigma = c f^d in S/m. Source: as above. */
HR_API double hr_propagation_conductivity_s_m(const hr_permittivity *material, double freq_mhz);
/* Attenuation of a wave inside the material, 8.686 k0 |Im sqrt(eta)|, dB/m. */
HR_API double hr_propagation_bulk_db_per_m(hr_complex eta, double freq_mhz);

/* Steepest angle from the normal that slabs are computed for. */
#define HR_SLAB_ANGLE_MAX_DEG 80.0

/*
 * Reflection of a half-space, dB below the incident wave (>= 0); angle from the
 * normal in radians, clamped to 0 .. 80 degrees.
 * Source: ITU-R P.2040-3, s. 2.2.1, Fresnel coefficients r' for TE and TM (section from memory).
 */
HR_API double hr_propagation_reflection_db(hr_complex eta, double angle_rad, hr_polarisation polarisation);

/* What a stack of layers between air lets through and throws back, dB below
 * the incident wave, each within 0 .. HR_LOSS_MAX_DB. */
typedef struct hr_slab_answer {
    double through_db, reflected_db;
} hr_slab_answer;

/*
 * Coherent plane-wave response of layers in air; one layer is P.2040's slab.
 * Evaluated interface by interface from the far side, so that it neither
 * overflows nor loses digits in sheet metal. Angle as above.
 * Source: ITU-R P.2040-3, eq. (43b) (slab) and Attachment 1 (multilayer).
 */
HR_API hr_slab_answer hr_propagation_stack(const hr_layer *layers, size_t count, double freq_mhz, double angle_rad,
                                           hr_polarisation polarisation);

/* Loss of a mix: -10 log10(c2 10^(-te/10) + (1-c2) 10^(-tm/10)), c2 in 0..1 the
 * share of power that stands across the plane of incidence. */
HR_API double hr_propagation_te_tm_mix_db(double te_db, double tm_db, double te_share);

/*
 * Share of power in TE for an antenna upright in space: c2 = |e.e_TE|^2, e the
 * vertical made perpendicular to the ray. (nx, ny): unit normal of a vertical
 * wall in plan; (rx, ry, rz): direction of the ray. 1 at normal incidence.
 */
HR_API double hr_propagation_te_share(double nx, double ny, double rx, double ry, double rz);

/* A stack's losses by angle, computed once for many links. */
#define HR_SLAB_CURVE_POINTS 321
typedef struct hr_slab_curve {
    double te_db[HR_SLAB_CURVE_POINTS]; /* every quarter of a degree from the normal */
    double tm_db[HR_SLAB_CURVE_POINTS];
    bool framed;       /* what is read off does not fall below HR_FRAMED_LOSS_DB */
    bool extrapolated; /* some layer is outside its tabled frequencies */
} hr_slab_curve;

HR_API void hr_propagation_slab_curve(const hr_layer *layers, size_t count, double freq_mhz, bool framed,
                                      hr_slab_curve *curve);
/* Loss at an angle for a TE share, a cubic between the curve's points. */
HR_API double hr_propagation_slab_curve_db(const hr_slab_curve *curve, double angle_rad, double te_share);

/* The least a framed wall loses in place: studs, foil, fixings; assumed. */
#define HR_FRAMED_LOSS_DB 2.0
HR_API double hr_propagation_framed_db(double slab_db);

/* ---- indoor models --------------------------------------------------------- */

/*
 * P.1238 N form: 20 log10 f_MHz + N log10(max(d, 1 m)) + Lf - 28.
 * Source: ITU-R P.1238-8/-10, site-general model.
 */
HR_API double hr_propagation_p1238_db(double freq_mhz, double n, double dist_m, double floors_db);

/*
 * alpha-beta-gamma form: 10 a log10 d_m + b + 10 g log10 f_GHz, d > 0. Note
 * that the argument is in MHz and the formula in GHz.
 * Source: ITU-R P.1238-11, eq. (1).
 */
HR_API double hr_propagation_abg_db(double freq_mhz, double alpha, double beta, double gamma, double dist_m);

/* A row of the site-general model. */
typedef struct hr_site_row {
    char environment[32];
    bool abg;            /* alpha-beta-gamma form, else N form                      */
    double row_mhz;      /* N form: the frequency the row is tabled for             */
    double n;            /* N form: power loss coefficient                          */
    double floors_db[3]; /* N form: loss of 1, 2, 3 floors                          */
    double more_db;      /* each further floor: the last tabled step, assumed       */
    double alpha, beta, gamma;
    double sigma_db;
    double low_mhz, high_mhz, low_m, high_m; /* where the row is tabled                 */
    bool slope_only;                         /* corridor rows: only their slope is used                 */
    bool extrapolated;                       /* frequency asked for outside low_mhz..high_mhz           */
    char source[32];
} hr_site_row;

/*
 * The row for an environment at a frequency: "office", "residential", "house",
 * "commercial" (N form, the row nearest in frequency; office below 1.5 GHz is
 * the 0.9 GHz row), "office-los", "office-nlos", "corridor-los",
 * "corridor-nlos", "industrial-los", "industrial-nlos" (alpha-beta-gamma form).
 * False: no such environment.
 */
HR_API bool hr_propagation_site_find(const char *environment, double freq_mhz, hr_site_row *site);
/* The environment when none is stated: office below 1.5 GHz, else residential. */
HR_API const char *hr_propagation_site_default(double freq_mhz);
/* Environment names; NULL past the last. */
HR_API const char *hr_propagation_site_name(size_t index);
/* Floor loss of a row for n floors (alpha-beta-gamma rows have none: 0). */
HR_API double hr_propagation_site_floors_db(const hr_site_row *site, unsigned floors);
/* Path loss by a row, never less than free space - 5 dB. */
HR_API double hr_propagation_site_db(const hr_site_row *site, double freq_mhz, double dist_m, unsigned floors);

/*
 * TR 38.901 indoor office: LoS 32.4 + 17.3 log10 d + 20 log10 f_GHz, NLoS max of
 * that and 17.3 + 38.3 log10 d + 24.9 log10 f_GHz; d in 3-D.
 * Source: 3GPP TR 38.901, Table 7.4.1-1, InH-Office.
 */
HR_API double hr_propagation_inh_los_db(double freq_mhz, double dist_m);
HR_API double hr_propagation_inh_nlos_db(double freq_mhz, double dist_m);

typedef enum hr_tr38901_material {
    HR_TR_GLASS = 0,
    HR_TR_COATED_GLASS,
    HR_TR_CONCRETE,
    HR_TR_WOOD
} hr_tr38901_material;
/* Penetration loss a + b f_GHz. Source: 3GPP TR 38.901, Table 7.4.3-1. */
HR_API double hr_propagation_tr38901_material_db(hr_tr38901_material material, double freq_mhz);

/* Exponent of the corridor term: P.1238-11 corridor LoS 1.63 against free
 * space's 2 gives 3.7 dB a decade. */
#define HR_CORRIDOR_GAIN_DB_PER_DECADE 3.7
/* 3.7 log10(max(d, 1 m)): what a straight corridor of d metres gives back. */
HR_API double hr_propagation_corridor_gain_db(double corridor_m);
/* Loss inside rooms, dB/m. Source: 3GPP TR 38.901, Table 7.4.3-2, indoor loss. */
#define HR_ROOM_LOSS_DB_PER_M 0.5

/* What others measured, to compare with: an exponent, or the loss of floors. */
typedef struct hr_measured {
    char id[32];
    bool is_floors; /* value is the loss in dB of `floors` floors, else an exponent */
    char place[48];
    double freq_mhz;
    double floors; /* NaN: not told       */
    double value;
    double metre_db; /* fitted intercept at 1 m; NaN: not printed */
    double sigma_db; /* NaN: not printed    */
    char source[32];
} hr_measured;

/* Row by index in table order; false past the last. */
HR_API bool hr_propagation_measured(size_t index, hr_measured *row);

/* ---- antennas and coverage -------------------------------------------------- */

/*
 * Gain of a half-wave dipole relative to its maximum, 20 log10 |cos(pi/2 cos t)/sin t|,
 * t from the wire's axis in radians, not below floor_db (negative).
 * Source: Balanis, Antenna Theory, half-wavelength dipole.
 */
HR_API double hr_propagation_dipole_db(double angle_rad, double floor_db);
/* The floor of `pattern = dipole`: multipath and depolarisation (TR 38.901
 * cross-polar ratio indoors 10-11 dB). */
#define HR_DIPOLE_FLOOR_DB (-10.0)

/*
 * Share of a disc's area above the threshold when the mean level at its edge is
 * edge_margin_db above it: log-distance n > 0, log-normal sigma >= 0.
 * Source: Jakes 1974 and Reudink; Rappaport 2nd ed. eq. 4.78-4.80 (from memory;
 * equals numeric integration).
 */
HR_API double hr_propagation_area_coverage(double edge_margin_db, double exponent, double sigma_db);

/* ---- where a formula holds ---------------------------------------------------- */

/* Every fixed validity limit, once: the code checks it, messages and manual
 * pages print it. Tabled rows carry their own (hr_permittivity, hr_site_row). */
typedef enum hr_range_id {
    HR_RANGE_LOG_DISTANCE_M = 0,
    HR_RANGE_COST231_MHZ,
    HR_RANGE_COST231_FLOORS,
    HR_RANGE_SATURATION_WALLS,
    HR_RANGE_SLAB_ANGLE_DEG,
    HR_RANGE_P1238_M,
    HR_RANGE_P1238_FLOORS,
    HR_RANGE_INH_MHZ,
    HR_RANGE_INH_M,
    HR_RANGE_COUNT
} hr_range_id;

typedef struct hr_range {
    const char *formula;  /* "COST 231 multi-wall" */
    const char *quantity; /* "frequency" */
    const char *unit;
    double low, high;   /* closed; high INFINITY: open above */
    const char *source; /* id in sources.csv */
    const char *beyond; /* what is done outside */
} hr_range;

HR_API const hr_range *hr_propagation_range(hr_range_id id); /* NULL: no such id */
HR_API bool hr_propagation_in_range(hr_range_id id, double value);
/* "COST 231 multi-wall: frequency 2450 MHz, given for 800 to 1900 MHz; ..." Returns buf. */
#define HR_RANGE_TEXT_MAX 240
HR_API char *hr_propagation_range_text(hr_range_id id, double value, char buf[HR_RANGE_TEXT_MAX]);

#ifdef __cplusplus
}
#endif
#endif
