/*
 * hr_units.h - dB and mW, MHz and wavelength, metres and feet, SVG lengths.
 * Pure functions: total on their stated domain, NaN in gives NaN out.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_UNITS_H
#define HR_UNITS_H

#include "hr_base.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Speed of light in vacuum, exact. Source: SI, 9th edition. */
#define HR_SPEED_OF_LIGHT_M_S 299792458.0
/* International foot, exact. Source: NIST SP 811, appendix B. */
#define HR_METRES_PER_FOOT 0.3048
/* Gain of a half-wave dipole over an isotropic radiator: EIRP = ERP + 2.15 dB.
 * 10 log10 1.6409 = 2.1508; 2.15 is the regulators' rounded figure (ITU-R BS.561, V.573). */
#define HR_DIPOLE_GAIN_DBI 2.15

HR_API double hr_units_mw_from_dbm(double dbm);
HR_API double hr_units_dbm_from_mw(double mw);  /* mw > 0; 0 gives -infinity */
HR_API double hr_units_ratio_from_db(double db);
HR_API double hr_units_db_from_ratio(double ratio);
/* Power sum of two losses seen in parallel: -10 log10(10^(-a/10) + 10^(-b/10)). */
HR_API double hr_units_parallel_loss_db(double a_db, double b_db);
HR_API double hr_units_wavelength_m(double freq_mhz); /* freq > 0 */
HR_API double hr_units_thermal_noise_dbm(double bandwidth_hz, double temperature_k);

typedef enum hr_length_unit { HR_METRES = 0, HR_FEET } hr_length_unit;
HR_API bool hr_units_length_unit(const char *text, hr_length_unit *unit); /* "m" or "ft" */
HR_API const char *hr_units_length_name(hr_length_unit unit);
HR_API double hr_units_to_metres(double value, hr_length_unit unit);
HR_API double hr_units_from_metres(double value_m, hr_length_unit unit);

typedef enum hr_svg_unit {
    HR_SVG_NUMBER = 0, /* no unit: user units */
    HR_SVG_PX, HR_SVG_PT, HR_SVG_PC, HR_SVG_MM, HR_SVG_CM, HR_SVG_IN, HR_SVG_Q, HR_SVG_EM, HR_SVG_EX, HR_SVG_PERCENT
} hr_svg_unit;

/* "12.5mm" -> 12.5, HR_SVG_MM; unit letters without case, no blank before the
 * unit, blanks around allowed. False when it is not a length. */
HR_API bool hr_units_svg_length(const char *text, double *value, hr_svg_unit *unit);
/* Pixels per unit at 96 px/in; 0 for em, ex, percent. Source: SVG 1.1 7.10, CSS 2.1 4.3.2. */
HR_API double hr_units_svg_px(hr_svg_unit unit);
/* True for mm, cm, Q, in, pt, pc: units of a page, not of a screen. */
HR_API bool hr_units_svg_is_physical(hr_svg_unit unit);

#ifdef __cplusplus
}
#endif
#endif
