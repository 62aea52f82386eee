/*
 * units.c - dB, wavelengths, metres and feet.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_units.h"

#include <math.h>

double hr_units_mw_from_dbm(double dbm)
{
    return pow(10.0, dbm / 10.0);
}

double hr_units_dbm_from_mw(double mw)
{
    return 10.0 * log10(mw);
}

double hr_units_ratio_from_db(double db)
{
    return pow(10.0, db / 10.0);
}

double hr_units_db_from_ratio(double ratio)
{
    return 10.0 * log10(ratio);
}

double hr_units_parallel_loss_db(double a_db, double b_db)
{
    if (isnan(a_db) || isnan(b_db)) {
        return (double)NAN; /* fmin would pass over it */
    }
    /* the smaller loss is taken out first, so that large losses do not underflow */
    const double least = fmin(a_db, b_db), most = fmax(a_db, b_db);
    if (isinf(most)) {
        return least;
    }
    return least - 10.0 * log10(1.0 + pow(10.0, (least - most) / 10.0));
}

double hr_units_wavelength_m(double freq_mhz)
{
    return HR_SPEED_OF_LIGHT_M_S / (freq_mhz * 1e6);
}

/* Boltzmann constant, J/K, exact. Source: SI, 9th edition. */
#define BOLTZMANN_J_K 1.380649e-23

double hr_units_thermal_noise_dbm(double bandwidth_hz, double temperature_k)
{
    return 10.0 * log10(BOLTZMANN_J_K * temperature_k * bandwidth_hz * 1000.0);
}

bool hr_units_length_unit(const char *text, hr_length_unit *unit)
{
    if (hr_casecmp(text, "m") == 0) {
        *unit = HR_METRES;
        return true;
    }
    if (hr_casecmp(text, "ft") == 0) {
        *unit = HR_FEET;
        return true;
    }
    return false;
}

const char *hr_units_length_name(hr_length_unit unit)
{
    return unit == HR_FEET ? "ft" : "m";
}

double hr_units_to_metres(double value, hr_length_unit unit)
{
    return unit == HR_FEET ? value * HR_METRES_PER_FOOT : value;
}

double hr_units_from_metres(double value_m, hr_length_unit unit)
{
    return unit == HR_FEET ? value_m / HR_METRES_PER_FOOT : value_m;
}
