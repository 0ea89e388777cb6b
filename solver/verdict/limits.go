package verdict

import (
	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/units"
)

// band is a limit of two steps: beyond Caution the reader should look, beyond Fault the value is wrong.
type band struct {
	caution, fault float64
	source         string
}

// one makes a band of a single limit: beyond it is a fault, beyond 90 % of it a caution.
func one(limit float64, source string) band {
	return band{caution: 0.9 * limit, fault: limit, source: source}
}

// limits are the limits in force for a job: its own where it gives them, else the defaults.
type limits struct {
	static, perTon, watts, shortfall, supplyFace, returnFace, filterGrille band
	trunk, branch, flexBranch, returnTrunk, bypass, room                   band
}

const jobsOwn = "the job's own limit"

// Limits that have no row in the catalogue.
const (
	// ratedStatic is what furnaces and air handlers are commonly rated for; the rating plate governs.
	ratedStatic = 0.5 * units.InchWater
	// Airflow over the coil per nominal ton: below 350 cfm a caution, below 300 a fault.
	lowPerTon     = 350 * units.CFM / units.TonOfCooling
	leastPerTon   = 300 * units.CFM / units.TonOfCooling
	wattsPerCFM   = 0.58 / units.CFM
	lowShortfall  = 0.10
	mostShortfall = 0.20
	someBypass    = 0.20
	muchBypass    = 0.35
	roomCaution   = 3 // Pa
	roomFault     = 5 // Pa
)

func limitsFor(job *network.Job) limits {
	velocity := func(row string) band {
		v, _ := catalog.LookupVelocity(row)
		return band{v.Recommended, v.Maximum, v.Source.String()}
	}
	l := limits{
		static:       one(ratedStatic, "usual rating of furnaces and air handlers, 0.5 in. of water; the rating plate governs (default of ours)"),
		perTon:       band{lowPerTon, leastPerTon, "350 to 450 cfm per ton is the usual target (FSEC-PF-321-97); below 300 DX coils leave their rating window"},
		watts:        band{wattsPerCFM, 2 * wattsPerCFM, "0.58 W/cfm in every zonal control mode (California Title 24 Part 6, zoned single-speed systems, as published; confirm the edition in force); the fault at twice that is a default of ours"},
		shortfall:    band{lowShortfall, mostShortfall, "10 % is the usual balancing tolerance of an outlet, 20 % of a room (from memory); defaults of ours"},
		supplyFace:   velocity("supply face default"),
		returnFace:   velocity("return grille default"),
		filterGrille: velocity("filter grille default"),
		trunk:        velocity("trunk default"),
		branch:       velocity("branch default"),
		flexBranch:   velocity("flex branch default"),
		returnTrunk:  velocity("return trunk default"),
		bypass:       band{someBypass, muchBypass, "a 50 °F rise reaches a usual entering-air maximum of 80 to 85 °F at 17 to 23 % recirculation (from memory); defaults of ours until temperatures are computed"},
		room:         band{roomCaution, roomFault, "ENERGY STAR: at most 3 Pa across a closed door, 5 Pa for rooms of 150 cfm and more"},
	}
	if p := job.Equipment.MaxStatic; p > 0 {
		l.static = one(float64(p), "rating given in the job file")
	}
	own := &job.Limits
	set := func(b *band, limit float64) {
		if limit > 0 {
			*b = one(limit, jobsOwn)
		}
	}
	set(&l.static, last(own.MaxStatic))
	set(&l.supplyFace, last(own.SupplyFace))
	set(&l.returnFace, last(own.ReturnFace))
	set(&l.trunk, last(own.Trunk))
	set(&l.branch, last(own.Branch))
	set(&l.flexBranch, last(own.Branch))
	set(&l.shortfall, last(own.Shortfall))
	if q := last(own.LeastAirflow); q > 0 {
		l.perTon = band{q / units.TonOfCooling, q / units.TonOfCooling, jobsOwn}
	}
	return l
}

// last is the limit proper of a job's own [caution, fault]; 0 when it gives none.
func last[T ~float64](values []T) float64 {
	if len(values) == 0 {
		return 0
	}
	return float64(values[len(values)-1])
}
