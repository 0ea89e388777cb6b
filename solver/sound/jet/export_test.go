package jet

// Patterns are the names Lookup knows, in the order of the table.
func Patterns() []string {
	names := make([]string, len(patterns))
	for i, p := range patterns {
		names[i] = p.Name
	}
	return names
}
