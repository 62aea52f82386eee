/*
 * made.h - small buildings made for tests: the same lines go into plan files
 * that the library reads and into the naive reading.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef MADE_H
#define MADE_H

#include "hr_building.h"
#include "naive.h"

/* Writes the building's plans and property file to a fresh folder under the
 * build root, reads them, and returns the building (fails the test otherwise).
 * Losses become materials of the property; heights go into the layer names. */
hr_building *made_building(const naive_building *naive);

#endif
