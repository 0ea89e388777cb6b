package network

import (
	"fmt"
	"strings"

	"github.com/BurntSushi/toml"
)

// TOMLValue is a value of an override as the job file writes it: as it is
// when it is TOML already, else as a text.
func TOMLValue(value string) string {
	value = strings.TrimSpace(value)
	var v map[string]any
	if _, err := toml.Decode("v = "+value, &v); err == nil && len(v) == 1 && value != "" {
		return value
	}
	return TOMLText(value)
}

// TOMLText is a text in quotes, for a value or a key of the job file.
func TOMLText(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < 0x20 || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
