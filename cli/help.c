/*
 * help.c - help texts, made from the command and option tables.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <stdio.h>
#include <string.h>

#include <hr_report.h>

const cli_command cli_commands[] = {
    {"read", CLI_READ, "PROPERTY.ini", "say what was understood of a property and its plans",
     "Reads the property file and every storey plan and says what was found: storeys,\n"
     "scale, rooms, walls by material, metal, devices, spots, the settings in force, and\n"
     "what was ignored and why. Needs only [property] and a [storey ...].\n"
     "Exit status 1 when something stops placement.",
     cli_run_read},
    {"place", CLI_PLACE, "PROPERTY.ini", "choose gateway spots and show every room's margin",
     "Chooses the fewest gateway spots that serve every device, keeps gateways that are\n"
     "already marked, and prints the gateway list and the room table. With --csv the\n"
     "gateway list alone, which `rooms --gateways` reads back. Beside them: next hops and\n"
     "sole relays of a mesh, what fewer gateways would serve, what other limits on slabs\n"
     "would need; with --reasons what each gateway is for.\n"
     "Exit status 1 when some devices are not served; each is listed with its reason.",
     cli_run_place},
    {"rooms", CLI_ROOMS, "PROPERTY.ini", "show every room's margin for gateways that exist",
     "Takes the gateways marked on the plans, or those of --gateways FILE.csv, and prints\n"
     "the link margin room by room. With --csv gateways and devices in\n"
     "the order of installation: each device after its next hop. With --without GATEWAY\n"
     "what fails while that gateway is down.\n"
     "Exit status 1 when some devices are not served.",
     cli_run_rooms},
    {"why", CLI_WHY, "ROOM PROPERTY.ini", "one room's links line by line, likely causes and what helps",
     "Shows every link of a room as a budget in its weaker direction, line by line: what\n"
     "is sent, antennas, distance, each wall, door, metal object and floor on the way,\n"
     "corrections, cases, noise. The lines add up to the link margin. Beside it the margin\n"
     "asked for, what is to spare, the range limit, the closest and the best gateway.\n"
     "Then the likely causes, weighed against what was read on site, what to look at first,\n"
     "and what would help, computed anew. Tell what you know: --rssi, --not-heard, --joined,\n"
     "--loss, --door, or --readings with the neighbours' levels.\n"
     "Gateways are those marked on the plans or listed by --gateways.\n"
     "Exit status 1 when a device of the room is not served.",
     cli_run_why},
    {"fit", CLI_FIT, "PROPERTY.ini READINGS.csv", "fit exponent and losses to measured levels",
     "Fits one offset, the distance exponent, every material crossed and one slab to the\n"
     "readings, beside what the tables expect: ten readings move the tables a little, a\n"
     "hundred replace them. Prints a report as comments and last a [fitted] section to put\n"
     "at the end of the property file. A reading not heard counts as below its threshold.\n"
     "Intervals are posterior. A [fitted] that is already there is not used.\n"
     "Exit status 1 when rows were left out.",
     cli_run_fit},
    {"compare", CLI_COMPARE, "PROPERTY.ini READINGS.csv", "show predicted beside measured levels",
     "Predicts every reading and shows the difference, the ones furthest off, and whether\n"
     "the differences look random or belong to a material, a storey or a gateway.\n"
     "Exit status 1 when rows were left out.",
     cli_run_compare},
    {"accept", CLI_ACCEPT, "PROPERTY.ini READINGS.csv", "judge the installed devices by their measured levels",
     "After installation: each device passes, is weak, fails or was not read, by its level\n"
     "over sensitivity and the packets lost, beside the gateway it joined and the planned\n"
     "one. Prints a sheet to sign, with what to look at first. Column `joined` says what\n"
     "the device joined, column `loss_percent` what it lost; both may be left out.\n"
     "Exit status 0 only when every device passes.",
     cli_run_accept},
    {"estimate", CLI_ESTIMATE, "PROPERTY.ini ...", "say how many gateways to quote, with a range and a quote sheet",
     "Draws what is not known (walls, slabs, the distance exponent, where devices hang,\n"
     "where the network reaches, the building's size) many times from its spread, places\n"
     "each draw, and says how many gateways it takes: 10 %, 50 % and 90 % figures, and the\n"
     "number to quote, which is the smallest that serves 98 % of the rooms in 90 % of the\n"
     "draws when placed on nominal values. Beside it what drives the number and what to ask\n"
     "next, a quote sheet (alone with --csv), a rule of thumb and ITU-R P.1238's figure.\n"
     "From a property file, or from numbers when there is no plan:\n\n"
     "  hallreach estimate --rooms-per-storey 30 --storeys 6 --walls block\n\n"
     "Several property files: one row each, for all of a portfolio.\n"
     "--prices takes a list item,unit_price under a line `# currency = EUR`. Items: gateway,\n"
     "spare-gateway, device-KIND, spare-device-KIND, poe-port, ups, network-drop,\n"
     "cable-metre or cable-foot, firestop, battery-set, survey-visit, commissioning-visit,\n"
     "revisit. Spares without a price of their own cost what the thing costs.",
     cli_run_estimate},
    {"materials", CLI_MATERIALS, "", "the attenuation tables at a frequency, each row with its source",
     "Lists what walls, doors, windows, floors and metal cost a signal: losses in place\n"
     "and slabs computed from permittivity, each with its source or the word assumed.",
     cli_run_materials},
    {"outline", CLI_OUTLINE, "", "draw plain storey plans and their property file from numbers",
     "Draws a plan of the lowest storey and one of all others from room counts and a few\n"
     "sizes, and writes the property file that names them. Every storey has exactly the\n"
     "rooms asked for. The file can be placed as it stands and edited afterwards:\n\n"
     "  hallreach outline --rooms-per-storey 30 --storeys 6 --output hotel.ini\n"
     "  hallreach place hotel.ini\n\n"
     "An outline, not a survey: sizes nobody gave are common ones.",
     cli_run_outline},
};

const size_t cli_command_count = sizeof cli_commands / sizeof cli_commands[0];

const cli_command *cli_find_command(const char *name)
{
    for (size_t i = 0; i < cli_command_count; i++) {
        if (strcmp(cli_commands[i].name, name) == 0) {
            return &cli_commands[i];
        }
    }
    return NULL;
}

void cli_suggest_command(const char *word)
{
    const char *names[sizeof cli_commands / sizeof cli_commands[0]];
    for (size_t i = 0; i < cli_command_count; i++) {
        names[i] = cli_commands[i].name;
    }
    const char *near = hr_nearest(word, names, cli_command_count, 2);
    (void)fprintf(stderr, "hallreach: unknown command %s", word);
    if (near != NULL) {
        (void)fprintf(stderr, "; did you mean %s?\n", near);
    } else {
        (void)fprintf(stderr, "; `hallreach --help` lists the commands\n");
    }
}

static void print_cautions(void)
{
    (void)printf("\nCautions\n");
    for (size_t i = 0; hr_report_caution_at(NULL, i) != NULL; i++) {
        (void)printf("  - %s\n", hr_report_caution_at(NULL, i));
    }
}

static void print_exit_statuses(void)
{
    (void)printf("\nExit status\n"
                 "  0  done, and every device is served (`accept`: every device passes)\n"
                 "  1  done, but some devices are not served, `read` found what stops placement,\n"
                 "     `fit` and `compare` left rows out, or `accept` found a device that does not pass\n"
                 "  2  wrong command line\n"
                 "  3  an input is missing, unreadable or invalid\n"
                 "  4  output could not be written, or memory ran out\n"
                 "  130  interrupted\n");
}

void cli_help(void)
{
    (void)printf("hallreach: radio coverage in hotels and dormitories, and where the gateways go\n\n"
                 "  hallreach place examples/tern-house.ini\n\n"
                 "Usage: hallreach COMMAND [options] PROPERTY.ini\n\nCommands\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        (void)printf("  %-9s %s\n", cli_commands[i].name, cli_commands[i].summary);
    }
    (void)printf("  %-9s %s\n", "help", "show the help of a command: hallreach help COMMAND");
    print_exit_statuses();
    print_cautions();
}

void cli_command_help(const cli_command *command)
{
    (void)printf("hallreach %s: radio coverage, %s\n\nUsage: hallreach %s [options] %s\n\n%s\n\nOptions\n", command->name,
                 command->summary, command->name, command->operands, command->details);
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_option_table[i];
        if ((option->commands & command->bit) == 0) {
            continue;
        }
        char left[64];
        (void)snprintf(left, sizeof left, "%c%c%s--%s%s%s", option->letter != 0 ? '-' : ' ',
                       option->letter != 0 ? option->letter : ' ', option->letter != 0 ? ", " : "  ", option->name,
                       option->argument != NULL ? " " : "", option->argument != NULL ? option->argument : "");
        (void)printf("  %-29s %s\n", left, option->help);
    }
    print_exit_statuses();
    print_cautions();
}
