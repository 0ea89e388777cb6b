package network

// BackdraftSpec passes air one way.
type BackdraftSpec struct {
	Blade
}

var backdraftDamper = drive{
	words: []string{Backdraft},
	spec:  func(_ *builder, _ *Damper, blade Blade) Spec { return &BackdraftSpec{Blade: blade} },
}

func (*BackdraftSpec) offers(float64) []offer { return nil }
