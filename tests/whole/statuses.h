/* statuses.h - one test of the program in this folder.
 * SPDX-License-Identifier: MIT */
#ifndef STATUSES_H
#define STATUSES_H

void every_status_is_brought_about(void **unused);

#endif
