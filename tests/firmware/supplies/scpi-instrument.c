/*
 * A virtual supply that understands SCPI by a parser that is not ours: libscpi by Jan Breuer (BSD 2-Clause), whose folder of sources
 * the test names to the compiler. Lines come on standard input, answers go to standard output. Lines that begin with `!` are not
 * SCPI: they are the world around the supply, and each is answered by a line of its own, so that a test never waits by time.
 *
 *   !power      its mains went and came back: everything as it left the factory     !amps 3.2   what flows
 *   !protect    its over-temperature switch opens the output                        !           nothing: just answer
 *   !step 0.5   it can set its current in steps of so many amperes
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include "scpi/scpi.h"

#define CURRENT_MAX 40.0
#define VOLTAGE_MAX 15.0

static double current, voltage, amps, step;
static scpi_bool_t output;

static void power_up(void) {
  /* As many supplies do: the ceiling at its highest, no current, output off. */
  current = 0;
  voltage = VOLTAGE_MAX;
  output = FALSE;
}

static scpi_result_t set_level(scpi_t *context, double *level, double most) {
  double asked;
  if (!SCPI_ParamDouble(context, &asked, TRUE)) return SCPI_RES_ERR;
  if (asked < 0 || asked > most) {
    SCPI_ErrorPush(context, SCPI_ERROR_DATA_OUT_OF_RANGE);
    return SCPI_RES_ERR;
  }
  *level = step > 0 ? floor(asked / step + 1e-9) * step : asked;
  return SCPI_RES_OK;
}
static scpi_result_t current_set(scpi_t *context) { return set_level(context, &current, CURRENT_MAX); }
static scpi_result_t voltage_set(scpi_t *context) { return set_level(context, &voltage, VOLTAGE_MAX); }
static scpi_result_t output_set(scpi_t *context) {
  return SCPI_ParamBool(context, &output, TRUE) ? SCPI_RES_OK : SCPI_RES_ERR;
}
static scpi_result_t answer(scpi_t *context, double value) {
  SCPI_ResultDouble(context, value);
  return SCPI_RES_OK;
}
static scpi_result_t current_query(scpi_t *context) { return answer(context, current); }
static scpi_result_t voltage_query(scpi_t *context) { return answer(context, voltage); }
static scpi_result_t measured_query(scpi_t *context) { return answer(context, output ? (amps < current ? amps : current) : 0); }
static scpi_result_t output_query(scpi_t *context) {
  SCPI_ResultBool(context, output);
  return SCPI_RES_OK;
}

static const scpi_command_t commands[] = {
  {.pattern = "*CLS", .callback = SCPI_CoreCls},
  {.pattern = "*IDN?", .callback = SCPI_CoreIdnQ},
  {.pattern = "*RST", .callback = SCPI_CoreRst},
  {.pattern = "SYSTem:ERRor[:NEXT]?", .callback = SCPI_SystemErrorNextQ},
  {.pattern = "[:SOURce]:CURRent[:LEVel][:IMMediate][:AMPLitude]", .callback = current_set},
  {.pattern = "[:SOURce]:CURRent[:LEVel][:IMMediate][:AMPLitude]?", .callback = current_query},
  {.pattern = "[:SOURce]:VOLTage[:LEVel][:IMMediate][:AMPLitude]", .callback = voltage_set},
  {.pattern = "[:SOURce]:VOLTage[:LEVel][:IMMediate][:AMPLitude]?", .callback = voltage_query},
  {.pattern = "OUTPut[:STATe]", .callback = output_set},
  {.pattern = "OUTPut[:STATe]?", .callback = output_query},
  {.pattern = "MEASure[:SCALar]:CURRent[:DC]?", .callback = measured_query},
  SCPI_CMD_LIST_END,
};

static size_t write_text(scpi_t *context, const char *text, size_t length) {
  (void)context;
  return fwrite(text, 1, length, stdout);
}
static scpi_result_t reset(scpi_t *context) {
  (void)context;
  power_up();
  return SCPI_RES_OK;
}

int main(void) {
  static scpi_interface_t interface = {.write = write_text, .reset = reset};
  static char input[256];
  static scpi_error_t errors[8];
  static scpi_t context;
  char line[256];
  SCPI_Init(&context, commands, &interface, scpi_units_def, "BENCH", "VIRTUAL SUPPLY", "1", "1.0", input, sizeof input,
            errors, 8);
  power_up();
  while (fgets(line, sizeof line, stdin)) {
    if (line[0] != '!') {
      SCPI_Input(&context, line, (int)strlen(line));
      continue;
    }
    if (strncmp(line, "!power", 6) == 0) power_up();
    if (strncmp(line, "!protect", 8) == 0) output = FALSE;
    if (strncmp(line, "!amps ", 6) == 0) amps = atof(line + 6);
    if (strncmp(line, "!step ", 6) == 0) step = atof(line + 6);
    printf("!%.4f %.4f %d\n", current, voltage, output ? 1 : 0);
    fflush(stdout);
  }
  return 0;
}
