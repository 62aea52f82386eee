/*
 * hr_limits.h - every cap on input, in one place. Exceeding one is an error
 * that names it, never a partial result.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_LIMITS_H
#define HR_LIMITS_H

#define HR_MAX_FILE_BYTES ((size_t)64 << 20)  /* one drawing, list or property file   */
#define HR_MAX_ELEMENTS ((size_t)2000000)     /* elements of a drawing                */
#define HR_MAX_DEPTH 256                      /* nesting of a drawing                 */
#define HR_MAX_REFERENCES ((size_t)100000)    /* <use> references of a drawing        */
#define HR_MAX_USE_DEPTH 32                   /* <use> inside <use>                   */
#define HR_MAX_SEGMENTS ((size_t)5000000)     /* straight pieces after flattening     */
#define HR_MAX_COORDINATE 1e7                 /* |coordinate| in a drawing, user units */
#define HR_MAX_CSS_BYTES ((size_t)1 << 20)    /* style sheets of a drawing            */
#define HR_MAX_CSS_RULES ((size_t)10000)
#define HR_MAX_CSS_TESTS ((size_t)100000000)  /* selector tests over a whole drawing  */
#define HR_MAX_ATTRIBUTES 256                 /* attributes of one element            */
#define HR_MAX_ATTRIBUTE_BYTES ((size_t)10000000) /* one attribute value, as libxml2 has it */
#define HR_MAX_NAMESPACES 1000                /* namespace declarations in scope      */
#define HR_MAX_ENTITY_BYTES ((size_t)8 << 20) /* text that internal entities expand to */
#define HR_MAX_EXPANDED_BYTES ((size_t)256 << 20) /* a drawing with its references put in */
#define HR_MAX_NAME_BYTES ((size_t)256)       /* a room, spot, gateway or device name */
#define HR_MAX_STOREYS ((size_t)200)
#define HR_MAX_ROOMS ((size_t)100000)         /* of a property, all storeys           */
#define HR_MAX_DEVICES ((size_t)200000)
#define HR_MAX_WALLS ((size_t)200000)        /* straight pieces of wall of one storey  */
#define HR_MAX_SPOTS ((size_t)100000)
#define HR_MAX_GATEWAYS ((size_t)5000)
#define HR_MAX_SECTIONS ((size_t)2000)        /* sections of a property file          */
#define HR_MAX_KEYS ((size_t)20000)           /* key = value lines of a property file */
#define HR_MAX_KINDS ((size_t)26)             /* [device ...] sections                */
#define HR_MAX_LIST_ROWS ((size_t)1000000)    /* rows of a CSV list                   */

#endif
