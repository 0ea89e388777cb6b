package main

import (
	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/solver/calendar"
	"spillway/solver/clock"
)

func newYear(c console) *cobra.Command {
	f := &timeFlags{}
	file := ""
	cmd := &cobra.Command{
		Use:   "year JOB",
		Short: "Run a year: hours of every call state, trips, comfort and energy",
		Long: "As \"day\", for a whole year: heating and cooling by the day's weather, every start, trip and\n" +
			"call of 8,760 hours. The weather is a synthetic year whose mean and design temperatures are the\n" +
			"job's, or a file hour by hour (--hours): CSV with the heads \"temperature_f\" or\n" +
			"\"temperature_c\", and if they are known \"sun\" in % of a clear sky's and\n" +
			"\"dew_point_f\" or \"dew_point_c\"; 8,760 rows.\n\n" +
			"  [year]\n" +
			"  mean  = \"52 F\"\n" +
			"  range = \"18 F\"   # of a usual day\n" +
			"  swing = \"6 F\"    # warm and cold spells",
		Example: "  spillway year house.toml\n" +
			"  spillway year house.toml --alternative all --one-mass\n" +
			"  spillway year house.toml --hours weather.csv --format json",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE: func(_ *cobra.Command, args []string) error {
			if file != "" {
				data, err := readJobFile(file, c.in)
				if err != nil {
					return err
				}
				if f.hours, err = calendar.ReadHours(data); err != nil {
					return fail(wrongCall, "%s: %w", diag.Visible(file), err)
				}
			}
			return c.inTime(args[0], f, func(h *calendar.House) (*calendar.Result, error) { return h.Year(clock.Options{}) })
		},
	}
	f.addTime(cmd)
	cmd.Flags().StringVar(&file, "hours", "", "a year of weather, hour by hour, from this CSV `FILE`")
	return cmd
}
