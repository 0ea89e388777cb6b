package network

// BlowerSpec is the blower's table.
type BlowerSpec struct {
	plain
	Name string
	Kind string // "multi-tap", "constant torque", "constant airflow"
	Taps []TapCurve
}

// TapCurve is the table of one tap: airflow and electric power at rising external static.
type TapCurve struct {
	Name    string
	Static  []float64 // Pa
	Airflow []float64 // m³/s
	Watts   []float64 // W; may be empty
}
