// Package calendar puts a job into time: it makes a clock.House of what the file says of zones,
// thermostats, panel and machine, a climate of its weather, and answers the clock's calls from solved
// call states.
//
//	New          a job's house, with every default told
//	House.Day    a weather row of the file as a day that repeats
//	House.Year   a synthetic or an hourly year
//
// The package must not know files, flags or paper. It judges nothing.
package calendar
