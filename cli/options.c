/*
 * options.c - the one option table, and parsing by it. Options and operands
 * may be mixed; `--` ends the options; `--name=value` and `--name value` mean
 * the same.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <hr_materials.h>

#define READINGS (CLI_FIT | CLI_COMPARE | CLI_ACCEPT)
#define PROPERTY (CLI_READ | CLI_PLACE | CLI_ROOMS | CLI_WHY | READINGS | CLI_ESTIMATE)
#define NUMBERS (CLI_OUTLINE | CLI_ESTIMATE)
#define ALL (PROPERTY | CLI_MATERIALS)
#define LISTS (ALL & ~(unsigned)CLI_FIT)

const cli_option cli_option_table[] = {
    {0, "json", NULL, "write JSON instead of text", PROPERTY},
    {0, "csv", NULL, "write a CSV list instead of text", LISTS},
    {0, "gateways", "FILE.csv", "take the gateways from this list; replaces those marked on the plans",
     CLI_PLACE | CLI_ROOMS | CLI_WHY | READINGS},
    {0, "drawing", "FILE.svg", "draw what was understood; %s in the name stands for the storey, one drawing each", CLI_READ},
    {0, "page", "FILE.html", "write the answer as one HTML page too: plans, tables, budgets; needs no network", CLI_PLACE | CLI_ROOMS},
    {0, "anonymous", NULL, "for sharing: leave out the names of property, storeys, rooms, gateways and spots (rooms become R001 ...)",
     CLI_PLACE | CLI_ROOMS},
    {0, "drawing", "FILE.svg", "draw rooms by spare, next hops and gateways; %s in the name stands for the storey",
     CLI_PLACE | CLI_ROOMS | CLI_COMPARE | CLI_ACCEPT},
    {0, "drawing", "FILE.svg", "draw the room's storey: rooms by spare, next hops and gateways", CLI_WHY},
    {0, "grid", "METRES", "drawings: link margin as squares of this size, 0.05 to 10, instead of lines",
     CLI_PLACE | CLI_ROOMS | CLI_WHY | CLI_COMPARE | CLI_ACCEPT},
    {0, "date", "YYYY-MM-DD", "the date that drawings and page show (no clock is read)",
     CLI_PLACE | CLI_ROOMS | CLI_WHY | CLI_COMPARE | CLI_ACCEPT},
    {0, "suggest", NULL, "say what the plans are made of and print a [drawing] section to edit; a plan FILE.svg will do",
     CLI_READ},
    {0, "sheet", NULL, "write a work sheet of one page, in the order of work", CLI_WHY},
    {0, "rssi", "[DEVICE=]DBM", "level of the room's control at its gateway; DEVICE=DBM of a device of the room at the far end "
     "of its own link; may be repeated", CLI_WHY},
    {0, "not-heard", NULL, "the room's control is not heard by its gateway", CLI_WHY},
    {0, "joined", "GATEWAY", "the gateway that the control has joined, or none", CLI_WHY},
    {0, "door", "open|shut", "the room's door while levels were read (default: shut)", CLI_WHY},
    {0, "quality", "N", "the control's own figure in place of a level; needs --quality-map", CLI_WHY},
    {0, "quality-map", "N=DBM,...", "what figures of --quality mean in dBm, rising; straight lines between", CLI_WHY},
    {0, "loss", "PERCENT", "packets lost on the control's link, 0 to 100", CLI_WHY},
    {0, "readings", "FILE.csv", "levels of the room and its neighbours; five or more before a wall is blamed", CLI_WHY},
    {0, "set", "section.key=value", "set a key after the file was read; may be repeated", PROPERTY},
    {'o', "output", "FILE", "write to FILE instead of standard output (whole or not at all)", ALL},
    {0, "effort", "STEPS", "search steps before the solver settles (default: 0, its own choice)", CLI_PLACE},
    {0, "seconds", "S", "safety stop for the search; it is said when it bites (default: none)", CLI_PLACE},
    {0, "at-most", "K", "at most K gateways, existing ones among them; serves as many devices as they can", CLI_PLACE},
    {0, "must", "SPOT", "take this spot in any case; may be repeated", CLI_PLACE},
    {0, "never", "SPOT", "do not take this spot; may be repeated", CLI_PLACE},
    {0, "without", "GATEWAY", "show what fails while this gateway is down; may be repeated", CLI_ROOMS},
    {0, "reasons", NULL, "say for each gateway what only it reaches and what is lost without it", CLI_PLACE | CLI_ROOMS},
    {0, "frequency", "MHZ", "frequency in MHz, 300 to 6000 (default: 915)", CLI_MATERIALS},
    /* the same names and words as hr_outline_option_at */
    {0, "rooms-per-storey", "N", "guest rooms on every storey, 1 to 240", NUMBERS},
    {0, "storeys", "N", "storeys with rooms, 1 to 100 (default: 1)", NUMBERS},
    {0, "shape", "WORD", "single-sided, double-loaded, L, U, T or courtyard (default: double-loaded)", NUMBERS},
    {0, "length-unit", "m|ft", "unit of the lengths here and in the property file (default: m)", NUMBERS},
    {0, "bay", "LENGTH", "room width between wall centre lines (default: 3.8 m or 12.5 ft)", NUMBERS},
    {0, "depth", "LENGTH", "clear room depth, bath included (default: 7 m or 23 ft)", NUMBERS},
    {0, "corridor", "LENGTH", "clear corridor width (default: 1.83 m or 6 ft)", NUMBERS},
    {0, "floor-to-floor", "LENGTH", "height of a storey (default: 3 m or 10 ft)", NUMBERS},
    {0, "baths", "yes|no", "a bath in every room, back to back in pairs (default: yes)", NUMBERS},
    {0, "exterior-corridors", "yes|no", "corridors in the open air, rooms entered from outside (default: no)", NUMBERS},
    {0, "lifts", "N", "0 to 6, in one core (default: none, 1 or 2 by size)", NUMBERS},
    {0, "stairs", "N", "0 to 6 (default: 2, with L, U and T 3; none with one storey)", NUMBERS},
    {0, "closets", "N", "network closets on a storey, 0 to 6 (default: 1, 2 above 60 rooms)", NUMBERS},
    {0, "numbering", "WORD", "around, or odd-even by sides of the corridor (default: around)", CLI_OUTLINE},
    {0, "first-number", "N", "number of a storey's first room, 1 to 500 (default: 1)", CLI_OUTLINE},
    {0, "first-storey", "N", "number of the lowest storey, 0 to 100 (default: 1)", CLI_OUTLINE},
    {0, "frequency", "MHZ", "radio frequency, 300 to 6000 (default: 915)", NUMBERS},
    {0, "name", "TEXT", "name of the property (default: the file's name)", NUMBERS},
    {0, "party-wall", "MATERIAL", "wall between rooms (default: framed-double)", NUMBERS},
    {0, "corridor-wall", "MATERIAL", "wall along the corridor (default: corridor-wall)", NUMBERS},
    {0, "outer-wall", "MATERIAL", "outer wall (default: concrete-150)", NUMBERS},
    {0, "core-wall", "MATERIAL", "wall round stairs and core (default: concrete-200)", NUMBERS},
    {0, "entry-door", "MATERIAL", "room door (default: fire-door; in the open air steel-skinned-door)", NUMBERS},
    {0, "window", "MATERIAL", "room window (default: coated-glass)", NUMBERS},
    {0, "slab", "MATERIAL", "floor slab (default: concrete-200)", NUMBERS},
    /* the same names and words as hr_estimate_option_at */
    {0, "rooms", "N", "guest rooms of the whole property; shared out over buildings and storeys", CLI_ESTIMATE},
    {0, "wings", "N", "1 straight, 2 an L, 3 a U, 4 round a courtyard (default: 1)", CLI_ESTIMATE},
    {0, "buildings", "N", "alike buildings, 1 to 50 (default: 1)", CLI_ESTIMATE},
    {0, "year", "YEAR", "year of building; tells likely walls where none are said", CLI_ESTIMATE},
    {0, "walls", "WORD", "framed, block, brick, concrete or timber (default: drawn at random)", CLI_ESTIMATE},
    {0, "closets-per-storey", "N", "network closets on a storey, 0 to 6 (default: 1, 2 above 60 rooms)", CLI_ESTIMATE},
    {0, "kinds", "LIST", "devices of a room: wall, unit, occupancy, opening, each with =N (default: wall,unit)", CLI_ESTIMATE},
    {0, "draws", "N", "buildings drawn at random (default: estimate.draws, 200)", CLI_ESTIMATE},
    {0, "seed", "N", "start of the random numbers (default: estimate.seed, 1)", CLI_ESTIMATE},
    {0, "service-years", "N", "years of battery changes on the quote sheet (default: estimate.service_years, 5)", CLI_ESTIMATE},
    {0, "prices", "FILE.csv", "unit prices for the quote sheet; none are built in", CLI_ESTIMATE},
    {'o', "output", "DIR/NAME.ini", "property file to write; plans NAME-STOREY.svg are written beside it", CLI_OUTLINE},
    {'q', "quiet", NULL, "no warnings and no progress on standard error", ALL | CLI_OUTLINE},
    {'h', "help", NULL, "show this help", ALL | CLI_OUTLINE},
    {0, "version", NULL, "show the version", ALL | CLI_OUTLINE},
};

const size_t cli_option_count = sizeof cli_option_table / sizeof cli_option_table[0];

void cli_free_options(cli_options *options)
{
    hr_free(options->sets);
    hr_free(options->must.items);
    hr_free(options->never.items);
    hr_free(options->without.items);
    hr_free(options->rssi.items);
    hr_free(options->operands);
}

static bool complain(const cli_command *command, const char *what, const char *word, const char *hint)
{
    (void)fprintf(stderr, "hallreach %s: %s%s%s%s\n", command->name, what, word, hint[0] != '\0' ? "; " : "", hint);
    return false;
}

static const cli_option *find_long(const cli_command *command, const char *name, size_t len)
{
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_option_table[i];
        if ((option->commands & command->bit) != 0 && strlen(option->name) == len &&
            strncmp(option->name, name, len) == 0) {
            return option;
        }
    }
    return NULL;
}

static const cli_option *find_short(const cli_command *command, char letter)
{
    for (size_t i = 0; i < cli_option_count; i++) {
        if ((cli_option_table[i].commands & command->bit) != 0 && cli_option_table[i].letter == letter) {
            return &cli_option_table[i];
        }
    }
    return NULL;
}

static bool unknown_option(const cli_command *command, const char *word)
{
    const char *names[sizeof cli_option_table / sizeof cli_option_table[0]];
    size_t count = 0;
    for (size_t i = 0; i < cli_option_count; i++) {
        if ((cli_option_table[i].commands & command->bit) != 0) {
            names[count++] = cli_option_table[i].name;
        }
    }
    char hint[128] = "";
    const char *near = hr_nearest(word + strspn(word, "-"), names, count, 3);
    if (near != NULL) {
        (void)snprintf(hint, sizeof hint, "did you mean --%s?", near);
    }
    return complain(command, "unknown option ", word, hint);
}

static bool set_format(const cli_command *command, cli_options *options, cli_format format)
{
    if (options->format != CLI_TEXT && options->format != format) {
        return complain(command, "--csv and --json exclude each other", "", "");
    }
    options->format = format;
    return true;
}

static bool add_word(cli_options *options, const char ***words, size_t *count, size_t *cap, const char *word)
{
    if (!HR_RESERVE(*words, *cap, *count + 1)) {
        (void)fprintf(stderr, "hallreach: memory ran out\n");
        options->no_memory = true;
        return false;
    }
    (*words)[(*count)++] = word;
    return true;
}

static bool is_evidence(const char *name)
{
    static const char *const names[] = {"sheet",       "rssi", "not-heard", "joined", "door", "quality",
                                        "quality-map", "loss", "readings"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (strcmp(names[i], name) == 0) {
            return true;
        }
    }
    return false;
}

/* Options of `why` alone; what they mean in the building is judged there. */
static bool apply_evidence(const cli_command *command, const char *name, const char *value, cli_options *options)
{
    if (strcmp(name, "rssi") == 0) {
        return add_word(options, &options->rssi.items, &options->rssi.count, &options->rssi.cap, value);
    }
    if (strcmp(name, "sheet") == 0) {
        options->sheet = true;
    } else if (strcmp(name, "not-heard") == 0) {
        options->not_heard = true;
    } else if (strcmp(name, "joined") == 0) {
        options->joined = value;
    } else if (strcmp(name, "door") == 0) {
        options->door = value;
    } else if (strcmp(name, "readings") == 0) {
        options->readings = value;
    } else if (strcmp(name, "quality-map") == 0) {
        options->quality_map = value;
    } else if (strcmp(name, "quality") == 0) {
        return hr_number_parse(value, &options->quality) || complain(command, "--quality takes a number, not ", value, "");
    } else if (!hr_number_parse(value, &options->loss_percent) ||
               !(options->loss_percent >= 0.0 && options->loss_percent <= 100.0)) {
        return complain(command, "--loss takes percent from 0 to 100, not ", value, "");
    }
    return true;
}

/* A number of a building: an option of an outline, or of an estimate from numbers. */
static bool is_number(const cli_option *option)
{
    if ((option->commands & ~(unsigned)NUMBERS) != 0 || strcmp(option->name, "output") == 0) {
        return false;
    }
    const bool of_estimate = option->commands == CLI_ESTIMATE;
    for (size_t i = 0; of_estimate && hr_estimate_option_at(i) != NULL; i++) {
        if (strcmp(hr_estimate_option_at(i)->name, option->name) == 0) {
            return true;
        }
    }
    return !of_estimate;
}

static bool apply_estimate(const cli_command *command, const char *name, const char *value, cli_options *options)
{
    if (strcmp(name, "prices") == 0) {
        options->prices = value;
    } else if (strcmp(name, "draws") == 0) {
        return hr_integer_parse(value, 1, 1000000L, &options->draws) ||
               complain(command, "--draws takes a whole number from 1 to 1000000, not ", value, "");
    } else if (strcmp(name, "seed") == 0) {
        return hr_integer_parse(value, 0, 2147483647L, &options->seed) ||
               complain(command, "--seed takes a whole number from 0 to 2147483647, not ", value, "");
    } else if (strcmp(name, "service-years") == 0) {
        return hr_integer_parse(value, 0, 50, &options->service_years) ||
               complain(command, "--service-years takes whole years from 0 to 50, not ", value, "");
    }
    return true;
}

static bool apply_flag(const char *name, cli_options *options)
{
    const struct {
        const char *name;
        bool *flag;
    } flags[] = {{"reasons", &options->reasons}, {"anonymous", &options->anonymous}, {"suggest", &options->suggest},
                 {"quiet", &options->quiet},     {"help", &options->help},           {"version", &options->version}};
    for (size_t i = 0; i < sizeof flags / sizeof flags[0]; i++) {
        if (strcmp(name, flags[i].name) == 0) {
            *flags[i].flag = true;
            return true;
        }
    }
    return false;
}

static bool take_file(const cli_command *command, const char *complaint, const char *value, const char **file)
{
    if (strcmp(value, "-") == 0) {
        return complain(command, complaint, value, "standard output has the text");
    }
    *file = value;
    return true;
}

/* Files and a day. */
static bool apply_name(const cli_command *command, const char *name, const char *value, cli_options *options)
{
    if (strcmp(name, "gateways") == 0) {
        options->gateways = value;
    } else if (strcmp(name, "output") == 0) {
        options->output = value;
    } else if (strcmp(name, "drawing") == 0) {
        return take_file(command, "--drawing takes the name of a file, not ", value, &options->drawing);
    } else if (strcmp(name, "page") == 0) {
        return take_file(command, "--page takes the name of a file, not ", value, &options->page);
    } else if (strcmp(name, "date") == 0) {
        if (!cli_is_date(value)) {
            return complain(command, "--date takes a date as 2026-03-31, not ", value, "");
        }
        options->date = value;
    }
    return true;
}

static bool apply_number(const cli_command *command, const char *name, const char *value, cli_options *options)
{
    if (strcmp(name, "at-most") == 0) {
        return hr_integer_parse(value, 1, 1000000L, &options->at_most) ||
               complain(command, "--at-most takes a whole number of gateways from 1, not ", value, "");
    }
    if (strcmp(name, "effort") == 0) {
        return hr_integer_parse(value, 0, 2000000000L, &options->effort) ||
               complain(command, "--effort takes a whole number of steps, not ", value, "");
    }
    if (strcmp(name, "seconds") == 0) {
        return (hr_number_parse(value, &options->seconds) && options->seconds >= 0.0 && options->seconds <= 1e6) ||
               complain(command, "--seconds takes seconds from 0 to 1000000, not ", value, "");
    }
    if (strcmp(name, "frequency") == 0) {
        return (hr_number_parse(value, &options->frequency_mhz) && options->frequency_mhz >= HR_FREQ_MIN_MHZ &&
                options->frequency_mhz <= HR_FREQ_MAX_MHZ) ||
               complain(command, "--frequency takes MHz from 300 to 6000, not ", value, "");
    }
    if (strcmp(name, "grid") == 0) {
        return (hr_number_parse(value, &options->grid_m) && options->grid_m >= 0.05 && options->grid_m <= 10.0) ||
               complain(command, "--grid takes metres from 0.05 to 10, not ", value, "");
    }
    return apply_name(command, name, value, options);
}

static bool apply(const cli_command *command, const cli_option *option, const char *value, cli_options *options)
{
    const char *name = option->name;
    if (is_number(option)) {
        return command->bit == CLI_ESTIMATE ? cli_estimate_option(&options->numbers, name, value)
                                            : cli_outline_option(&options->outline, name, value);
    }
    if (option->commands == CLI_ESTIMATE) {
        return apply_estimate(command, name, value, options);
    }
    if (strcmp(name, "json") == 0 || strcmp(name, "csv") == 0) {
        return set_format(command, options, name[0] == 'j' ? CLI_JSON : CLI_CSV);
    }
    if (strcmp(name, "set") == 0) {
        const char *equals = strchr(value, '='), *dot = strchr(value, '.');
        if (equals == NULL || dot == NULL || dot > equals) {
            return complain(command, "--set takes section.key=value, not ", value, "");
        }
        return add_word(options, &options->sets, &options->set_count, &options->set_cap, value);
    }
    if (strcmp(name, "must") == 0 || strcmp(name, "never") == 0 || strcmp(name, "without") == 0) {
        cli_words *words = name[0] == 'm' ? &options->must : name[0] == 'n' ? &options->never : &options->without;
        return add_word(options, &words->items, &words->count, &words->cap, value);
    }
    if (command->bit == CLI_WHY && is_evidence(name)) {
        return apply_evidence(command, name, value, options);
    }
    return apply_flag(name, options) || apply_number(command, name, value, options);
}

static bool take_option(const cli_command *command, int count, char **words, int *at, cli_options *options)
{
    const char *word = words[*at];
    const char *value = NULL;
    const cli_option *option;
    if (word[1] == '-') {
        const char *equals = strchr(word, '=');
        option = find_long(command, word + 2, equals != NULL ? (size_t)(equals - word - 2) : strlen(word + 2));
        value = equals != NULL ? equals + 1 : NULL;
    } else {
        option = find_short(command, word[1]);
        value = word[2] != '\0' ? word + 2 : NULL;
    }
    if (option == NULL) {
        return unknown_option(command, word);
    }
    if (option->argument == NULL) {
        return value == NULL ? apply(command, option, NULL, options)
                             : complain(command, "this option takes no value: ", word, "");
    }
    if (value == NULL) {
        if (*at + 1 >= count) {
            return complain(command, "a value is missing after ", word, option->argument);
        }
        value = words[++*at];
    }
    return apply(command, option, value, options);
}

/* An output in place of an input would be the end of it. */
static bool output_is_apart(const cli_command *command, const cli_options *options)
{
    const char *output = options->output;
    if (output == NULL || strcmp(output, "-") == 0) {
        return true;
    }
    for (size_t i = command->bit == CLI_WHY ? 1 : 0; i < options->operand_count; i++) {
        if (cli_same_file(output, options->operands[i])) {
            return complain(command,
                            (command->bit & READINGS) != 0 && i == 1 ? "--output names a list that is read: "
                                                  : "--output names the property file itself: ",
                            output, "choose another name");
        }
    }
    const char *const lists[] = {options->prices, options->gateways, options->readings};
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        if (lists[i] != NULL && cli_same_file(output, lists[i])) {
            return complain(command, "--output names a list that is read: ", output, "choose another name");
        }
    }
    return true;
}

/* Every command but outline and materials names a property file; one more word stands before or after it. */
static bool check_operands(const cli_command *command, const cli_options *options)
{
    const bool room_first = command->bit == CLI_WHY;
    if (options->sheet && options->format != CLI_TEXT) {
        return complain(command, "--sheet excludes --csv and --json", "", "");
    }
    if (options->suggest && (options->format != CLI_TEXT || options->drawing != NULL)) {
        return complain(command, "--suggest excludes --csv, --json and --drawing", "", "");
    }
    const size_t expected = strchr(command->operands, ' ') == NULL ? 1 : 2;
    if (options->operand_count == 0) {
        return complain(command, room_first ? "no room was named" : "no property file was named", "", command->operands);
    }
    if (!output_is_apart(command, options)) {
        return false;
    }
    if (options->operand_count < expected) {
        return complain(command, room_first ? "no property file was named" : "no list of readings was named", "",
                        command->operands);
    }
    if (options->operand_count > expected) {
        return complain(command, expected == 1 ? "one property file was expected, then came "
                                 : room_first  ? "a room and a property file were expected, then came "
                                               : "a property file and a list of readings were expected, then came ",
                        options->operands[expected], "");
    }
    return true;
}

bool cli_parse(const cli_command *command, int count, char **words, cli_options *options)
{
    bool only_operands = false;
    hr_outline_defaults(&options->outline);
    options->quality = options->loss_percent = (double)NAN;
    hr_estimate_numbers_defaults(&options->numbers);
    options->seed = options->service_years = -1;
    for (int at = 0; at < count; at++) {
        const char *word = words[at];
        if (!only_operands && strcmp(word, "--") == 0) {
            only_operands = true;
        } else if (!only_operands && word[0] == '-' && word[1] != '\0') {
            if (!take_option(command, count, words, &at, options)) {
                return false;
            }
        } else if (!add_word(options, &options->operands, &options->operand_count, &options->operand_cap, word)) {
            return false;
        }
    }
    if (options->help || options->version) {
        return true;
    }
    if (command->operands[0] == '\0') {
        return options->operand_count == 0 ||
               complain(command, "nothing was expected beside options, then came ", options->operands[0], "");
    }
    if (command->bit == CLI_ESTIMATE) {
        return output_is_apart(command, options); /* any number of property files, or numbers in their place */
    }
    return check_operands(command, options);
}
