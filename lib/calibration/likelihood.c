/*
 * likelihood.c - how probable a reading is: a normal error, or now and then a
 * gross one; a reading not heard says only that the level is below its
 * threshold.
 *
 * SPDX-License-Identifier: MIT
 */
#include "calibration_priv.h"

#include <math.h>

static const double log_root_two_pi = 0.91893853320467274178;

double calibration_prior_spread(const hr_calibration_term *term)
{
    return isfinite(term->spread) ? term->spread : CALIBRATION_NO_PRIOR;
}

static double log_normal(double left, double sigma)
{
    const double z = left / sigma;
    return -0.5 * z * z - log(sigma) - log_root_two_pi;
}

/* log(exp(a) + exp(b)), and the share of the first. */
static double log_sum(double a, double b, double *first)
{
    const double top = fmax(a, b);
    if (isinf(top)) {
        *first = 1.0;
        return top;
    }
    const double ea = exp(a - top), eb = exp(b - top);
    *first = ea / (ea + eb);
    return top + log(ea + eb);
}

static calibration_look heard(const calibration_work *w, double left)
{
    const double share = w->options->outlier_share;
    const double s2 = 1.0 / (w->sigma * w->sigma), t2 = 1.0 / (w->tau * w->tau);
    calibration_look look = {0};
    double q = 1.0;
    look.log_likelihood = log_normal(left, w->sigma);
    if (share > 0.0) {
        look.log_likelihood =
            log_sum(log(1.0 - share) + look.log_likelihood, log(share) + log_normal(left, w->tau), &q);
    }
    look.outlier = 1.0 - q;
    look.step_curvature = q * s2 + (1.0 - q) * t2;
    look.slope = look.step_curvature * left;
    look.curvature = look.step_curvature - q * (1.0 - q) * left * left * (s2 - t2) * (s2 - t2);
    return look;
}

/* phi(z) / Phi(z); far below 0 by its asymptote, where Phi runs out of digits. */
static double hazard(double z)
{
    const double below = hr_stats_normal_below(z);
    if (z < -30.0 || !(below > 0.0)) {
        return -z + 1.0 / (-z);
    }
    return exp(-0.5 * z * z - log_root_two_pi) / below;
}

static double log_below(double z)
{
    if (z < -30.0) {
        return -0.5 * z * z - log_root_two_pi - log(-z);
    }
    return log(hr_stats_normal_below(z));
}

static calibration_look not_heard(const calibration_work *w, double room)
{
    const double share = w->options->outlier_share;
    const double a = room / w->sigma, b = room / w->tau;
    const double ha = hazard(a), hb = hazard(b);
    calibration_look look = {.log_likelihood = log_below(a)};
    double q = 1.0;
    if (share > 0.0) {
        look.log_likelihood = log_sum(log(1.0 - share) + look.log_likelihood, log(share) + log_below(b), &q);
    }
    const double slope_a = -ha / w->sigma, slope_b = -hb / w->tau;
    const double bend_a = ha * (ha + a) / (w->sigma * w->sigma), bend_b = hb * (hb + b) / (w->tau * w->tau);
    look.outlier = 1.0 - q;
    look.slope = q * slope_a + (1.0 - q) * slope_b;
    look.step_curvature = fmax(q * bend_a + (1.0 - q) * bend_b, 0.0);
    look.curvature = look.step_curvature - q * (1.0 - q) * (slope_a - slope_b) * (slope_a - slope_b);
    return look;
}

calibration_look calibration_look_at(const calibration_work *w, const hr_calibration_reading *reading, double mu)
{
    const double left = reading->level_db - mu;
    return reading->heard ? heard(w, left) : not_heard(w, left);
}

double calibration_level(const calibration_work *w, size_t reading)
{
    double level = 0.0;
    for (size_t j = 0; j < w->p; j++) {
        level += w->design[reading * w->p + j] * w->beta[j];
    }
    return level;
}

static double hit_loss(const calibration_work *w, const hr_calibration_hit *hit)
{
    return -hit->share * w->beta[hit->term];
}

/* Walls of a reading, largest loss first; ties in the order given. */
static size_t sort_walls(calibration_work *w, const hr_calibration_reading *reading)
{
    size_t count = 0;
    for (size_t i = 0; i < reading->hit_count; i++) {
        if (!w->terms[reading->hits[i].term].saturates) {
            continue;
        }
        size_t at = count++;
        while (at > 0 && hit_loss(w, &reading->hits[w->order[at - 1]]) < hit_loss(w, &reading->hits[i])) {
            w->order[at] = w->order[at - 1];
            at--;
        }
        w->order[at] = i;
    }
    return count;
}

void calibration_build(calibration_work *w)
{
    const double power = w->options->wall_saturation;
    for (size_t i = 0; i < w->n; i++) {
        const hr_calibration_reading *reading = &w->readings[i];
        double *row = &w->design[i * w->p];
        for (size_t j = 0; j < w->p; j++) {
            row[j] = 0.0;
        }
        for (size_t k = 0; k < reading->hit_count; k++) {
            row[reading->hits[k].term] += reading->hits[k].share;
        }
        if (!(power > 0.0 && power < 1.0)) {
            continue;
        }
        const size_t walls = sort_walls(w, reading);
        for (size_t k = 0; k < walls && k < 3; k++) {
            const hr_calibration_hit *hit = &reading->hits[w->order[k]];
            const double factor = pow((double)(k + 1), power) - (k == 0 ? 0.0 : pow((double)k, power));
            row[hit->term] += hit->share * (factor - 1.0);
        }
    }
}
