/*
 * adapters_physics.c - slabs, edges, antennas.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "hr_propagation.h"
#include "hr_stats.h"
#include "hr_units.h"
#include "published.h"

static const double pi = 3.14159265358979323846;

/* ---- P.2040 materials ------------------------------------------------------ */

static bool material_of(const pub_row *row, hr_permittivity *material)
{
    return hr_materials_permittivity(pub_word(row, "material"), (int)pub_in(row, "edition"), pub_in(row, "freq_mhz"),
                                     material);
}

static double p2040_parameter(const pub_row *row)
{
    hr_permittivity m;
    if (!material_of(row, &m)) {
        return (double)NAN;
    }
    const struct {
        const char *column;
        double value;
    } values[] = {
        {"a", m.a}, {"b", m.b}, {"c", m.c}, {"d", m.d}, {"low_ghz", 1e-3 * m.low_mhz}, {"high_ghz", 1e-3 * m.high_mhz}};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        if (strcmp(values[i].column, pub_word(row, "column")) == 0) {
            return values[i].value;
        }
    }
    return (double)NAN;
}

static double p2040_conductivity(const pub_row *row)
{
    hr_permittivity m;
    return material_of(row, &m) ? hr_propagation_conductivity_s_m(&m, pub_in(row, "freq_mhz")) : (double)NAN;
}

static double p2040_real(const pub_row *row)
{
    hr_permittivity m;
    return material_of(row, &m) ? hr_propagation_permittivity(&m, pub_in(row, "freq_mhz")).re : (double)NAN;
}

static double p2040_bulk(const pub_row *row)
{
    hr_permittivity m;
    const double freq_mhz = pub_in(row, "freq_mhz");
    return material_of(row, &m) ? hr_propagation_bulk_db_per_m(hr_propagation_permittivity(&m, freq_mhz), freq_mhz)
                                : (double)NAN;
}

/* ---- slabs ------------------------------------------------------------------- */

/* The layers of the row, by the edition it asks for. */
static size_t layers_of(const pub_row *row, hr_layer layers[HR_LAYERS_MAX])
{
    size_t count = 0;
    const double freq_mhz = pub_in(row, "freq_mhz");
    if (hr_materials_layers_parse(pub_word(row, "layers"), freq_mhz, layers, &count, NULL) != HR_OK) {
        return 0;
    }
    const int edition = (int)pub_in(row, "edition");
    for (size_t i = 0; i < count && edition != 3; i++) {
        hr_permittivity other;
        if (!hr_materials_permittivity(layers[i].material.name, edition, freq_mhz, &other)) {
            return 0;
        }
        layers[i].material = other;
    }
    return count;
}

static hr_slab_answer answer_of(const pub_row *row, const hr_layer *layers, size_t count)
{
    const hr_polarisation polarisation = strcmp(pub_word(row, "polarisation"), "TM") == 0 ? HR_TM : HR_TE;
    return hr_propagation_stack(layers, count, pub_in(row, "freq_mhz"), pub_in(row, "angle_deg") * pi / 180.0,
                                polarisation);
}

static double slab(const pub_row *row)
{
    hr_layer layers[HR_LAYERS_MAX];
    const size_t count = layers_of(row, layers);
    return count > 0 ? answer_of(row, layers, count).through_db : (double)NAN;
}

/* Two alike slabs with a cavity, powers added: T = T1^2 / (1 - R1^2). */
static double slab_pair(const pub_row *row)
{
    hr_layer layers[HR_LAYERS_MAX];
    const size_t count = layers_of(row, layers);
    if (count == 0) {
        return (double)NAN;
    }
    const hr_slab_answer one = answer_of(row, layers, count);
    const double through = pow(10.0, -one.through_db / 10.0);
    const double back = pow(10.0, -one.reflected_db / 10.0);
    return -10.0 * log10(through * through / (1.0 - back * back));
}

/* The least or most that two slabs lose with a cavity of 0 to 200 mm of air. */
static double pair_extreme(const pub_row *row, double sign)
{
    hr_layer layers[HR_LAYERS_MAX];
    hr_permittivity air;
    if (layers_of(row, layers) != 1 || !hr_materials_permittivity("air", 3, pub_in(row, "freq_mhz"), &air)) {
        return (double)NAN;
    }
    layers[1] = (hr_layer){.material = air};
    layers[2] = layers[0];
    double extreme = -(double)INFINITY;
    for (int mm = 0; mm <= 200; mm++) {
        layers[1].thickness_m = 1e-3 * mm;
        extreme = fmax(extreme, sign * answer_of(row, layers, 3).through_db);
    }
    return sign * extreme;
}

static double slab_pair_least(const pub_row *row)
{
    return pair_extreme(row, -1.0);
}

static double slab_pair_most(const pub_row *row)
{
    return pair_extreme(row, 1.0);
}

static double half_space(const pub_row *row)
{
    hr_layer layers[HR_LAYERS_MAX];
    if (layers_of(row, layers) != 1) {
        return (double)NAN;
    }
    const hr_complex eta = hr_propagation_permittivity(&layers[0].material, pub_in(row, "freq_mhz"));
    return hr_propagation_reflection_db(eta, pub_in(row, "angle_deg") * pi / 180.0, HR_TE);
}

/* ---- edges --------------------------------------------------------------------- */

static double knife_edge(const pub_row *row)
{
    return hr_propagation_knife_edge_db(pub_in(row, "v"));
}

static double bend(const pub_row *row)
{
    return hr_propagation_bend_db(pub_in(row, "v"));
}

static double fresnel_v(const pub_row *row)
{
    return hr_propagation_fresnel_v(pub_in(row, "freq_mhz"), pub_in(row, "height_m"), pub_in(row, "d1_m"),
                                    pub_in(row, "d2_m"));
}

static double edge(const pub_row *row)
{
    return hr_propagation_knife_edge_db(fresnel_v(row));
}

static double fresnel_radius(const pub_row *row)
{
    return hr_propagation_fresnel_radius_m(pub_in(row, "freq_mhz"), 1, pub_in(row, "d1_m"), pub_in(row, "d2_m"));
}

static double metal_clearance(const pub_row *row)
{
    return hr_propagation_metal_clearance_db(pub_in(row, "freq_mhz"), pub_in(row, "dist_m"));
}

/* ---- antennas and areas ----------------------------------------------------------- */

static double dipole(const pub_row *row)
{
    return hr_propagation_dipole_db(pub_in(row, "angle_deg") * pi / 180.0, -300.0);
}

/* Directivity = 2 / integral of the pattern's power times sin t. */
static double dipole_directivity(const pub_row *row)
{
    (void)row;
    const int steps = 20000;
    double sum = 0.0;
    for (int i = 0; i < steps; i++) {
        const double t = ((double)i + 0.5) * pi / steps;
        sum += pow(10.0, hr_propagation_dipole_db(t, -300.0) / 10.0) * sin(t) * pi / steps;
    }
    return 10.0 * log10(2.0 / sum);
}

static double dipole_constant(const pub_row *row)
{
    (void)row;
    return HR_DIPOLE_GAIN_DBI;
}

static double area_from_edge(const pub_row *row)
{
    const double sigma_db = pub_in(row, "sigma_db");
    return hr_propagation_area_coverage(sigma_db * hr_stats_normal_quantile(pub_in(row, "probability")),
                                        pub_in(row, "exponent"), sigma_db);
}

const pub_adapter pub_physics[] = {
    {"p2040_parameter", p2040_parameter},
    {"p2040_conductivity", p2040_conductivity},
    {"p2040_real", p2040_real},
    {"p2040_bulk", p2040_bulk},
    {"slab", slab},
    {"slab_pair", slab_pair},
    {"slab_pair_least", slab_pair_least},
    {"slab_pair_most", slab_pair_most},
    {"half_space", half_space},
    {"knife_edge", knife_edge},
    {"bend", bend},
    {"fresnel_v", fresnel_v},
    {"edge", edge},
    {"fresnel_radius", fresnel_radius},
    {"metal_clearance", metal_clearance},
    {"dipole", dipole},
    {"dipole_directivity", dipole_directivity},
    {"dipole_constant", dipole_constant},
    {"area_from_edge", area_from_edge},
    {NULL, NULL},
};
