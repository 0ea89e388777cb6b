package study

// CorrelationRatio is correlationRatio of two samples.
func CorrelationRatio(x, y []float64) float64 { return correlationRatio(orderOf(x), y) }
