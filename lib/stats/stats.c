/*
 * stats.c - GSL behind checks of our own.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_stats.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>

double hr_stats_normal_below(double z)
{
    return isnan(z) ? z : gsl_cdf_ugaussian_P(z);
}

double hr_stats_normal_quantile(double p)
{
    return p > 0.0 && p < 1.0 ? gsl_cdf_ugaussian_Pinv(p) : (double)NAN;
}

double hr_stats_quantile_sorted(const double *values, size_t count, double p)
{
    if (count == 0 || !(p >= 0.0 && p <= 1.0)) {
        return (double)NAN;
    }
    return gsl_stats_quantile_from_sorted_data(values, 1, count, p);
}

struct hr_random {
    gsl_rng rng; /* its state is memory of ours: gsl_rng_alloc ends the process when there is none */
};

/* Spreads neighbouring seeds over all bits.
 * Source: Steele, Lea, Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014 (SplitMix64). */
static uint64_t mixed(uint64_t value)
{
    value += UINT64_C(0x9E3779B97F4A7C15);
    value = (value ^ (value >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    value = (value ^ (value >> 27)) * UINT64_C(0x94D049BB133111EB);
    return value ^ (value >> 31);
}

/* Spreads neighbouring streams over 32 bits, no two of them on the same value: the
 * generator starts from no more than 32 bits, and of a hundred thousand random
 * starts a pair would be the same more often than not.
 * Source: A. Appleby, MurmurHash3, 32-bit finalizer (public domain). */
static uint32_t mixed_stream(uint32_t value)
{
    value = (value ^ (value >> 16)) * UINT32_C(0x85EBCA6B);
    value = (value ^ (value >> 13)) * UINT32_C(0xC2B2AE35);
    return value ^ (value >> 16);
}

static uint32_t start_of(uint64_t seed, uint64_t stream)
{
    const uint64_t base = mixed(seed ^ mixed(stream >> 32));
    const uint32_t start = (uint32_t)(base & UINT32_MAX) ^ mixed_stream((uint32_t)(stream & UINT32_MAX));
    return start == 0 ? UINT32_MAX : start; /* 0 would mean the generator's default seed */
}

hr_random *hr_stats_random_new(uint64_t seed, uint64_t stream)
{
    hr_random *random = hr_alloc(1, sizeof *random);
    if (random == NULL) {
        return NULL;
    }
    random->rng.type = gsl_rng_mt19937;
    random->rng.state = hr_alloc_zero(1, gsl_rng_mt19937->size);
    if (random->rng.state == NULL) {
        hr_free(random);
        return NULL;
    }
    gsl_rng_set(&random->rng, start_of(seed, stream));
    return random;
}

void hr_stats_random_free(hr_random *random)
{
    if (random != NULL) {
        hr_free(random->rng.state);
        hr_free(random);
    }
}

double hr_stats_random_uniform(hr_random *random)
{
    return gsl_rng_uniform(&random->rng);
}

double hr_stats_random_normal(hr_random *random, double sigma)
{
    return gsl_ran_gaussian(&random->rng, sigma);
}

/* Values of 0 .. n-1 for an n beyond the generator's 32 bits: two draws, those
 * above the last whole multiple of n drawn again. */
static size_t below_large(gsl_rng *rng, size_t n)
{
    const uint64_t whole = UINT64_MAX - UINT64_MAX % n;
    for (;;) {
        const uint64_t high = gsl_rng_get(rng);
        const uint64_t value = high << 32 | gsl_rng_get(rng);
        if (value < whole) {
            return (size_t)(value % n);
        }
    }
}

size_t hr_stats_random_below(hr_random *random, size_t n)
{
    if (n <= 1) {
        return 0;
    }
    if (n > UINT32_MAX) {
        return below_large(&random->rng, n);
    }
    return (size_t)gsl_rng_uniform_int(&random->rng, (unsigned long)n);
}
