package main

import (
	"strconv"
	"strings"

	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/network/starter"
)

// parseTons reads "3", "3 ton" or "3 tons".
func parseTons(text string) (float64, error) {
	word := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(text, "s"), "ton"))
	tons, err := strconv.ParseFloat(word, 64)
	if err != nil {
		return 0, fail(wrongCall, "%q is not a capacity in tons; write 3", diag.Visible(text))
	}
	return tons, nil
}

// parseHeating reads "60 kBtu/h", "heat pump 34 kBtu/h", "electric 10 kW" or "none". A heat pump
// without its output gives what it cools.
func parseHeating(text string, tons float64, system quantity.System) (string, quantity.Heat,
	error) {
	text = strings.TrimSpace(text)
	if text == "" || text == "none" {
		return "", 0, nil
	}
	kind := "furnace"
	for _, k := range starter.Heaters() {
		if rest, ok := strings.CutPrefix(text, k); ok {
			kind, text = k, strings.TrimSpace(rest)
		}
	}
	if kind == "heat pump" && text == "" {
		return kind, quantity.Heat(tons * quantity.TonOfCooling), nil
	}
	heat, err := quantity.KindHeat.Parse(text, system)
	if err != nil {
		return "", 0, fail(wrongCall,
			`the heating output %w; write "60 kBtu/h", "heat pump 34 kBtu/h" or none`,
			err)
	}
	return kind, quantity.Heat(heat), nil
}

// outsideParentheses divides a text at the commas and semicolons that are not in parentheses.
func outsideParentheses(text string) []string {
	var parts []string
	depth, start := 0, 0
	for i, c := range text {
		switch {
		case c == '(':
			depth++
		case c == ')':
			depth--
		case (c == ',' || c == ';') && depth <= 0:
			parts, start = append(parts, text[start:i]), i+1
		}
	}
	return append(parts, text[start:])
}

// parseZone reads a zone's name, then in any order what is known of it: "430 cfm", "680 ft2",
// "loss 15 kBtu/h", "gain 8 kBtu/h", "up 9 ft", and its rooms in parentheses.
func parseZone(text string, system quantity.System) (starter.Zone, error) {
	var z starter.Zone
	whole := diag.Visible(strings.TrimSpace(text))
	known, rooms, listed := strings.Cut(text, "(")
	if listed {
		rooms, rest, closed := strings.Cut(rooms, ")")
		if !closed {
			return z, fail(wrongCall, "zone %q: the rooms have no closing parenthesis", whole)
		}
		z.Rooms, known = strings.Split(rooms, ","), known+" "+rest
	}
	words := strings.Fields(known)
	number := func(i int) bool {
		return i < len(words) && (words[i][0] >= '0' && words[i][0] <= '9' || words[i][0] == '.')
	}
	for i := 0; i < len(words); {
		key := words[i]
		switch key {
		case "loss", "gain", "up", "down":
			if z.Name != "" && number(i+1) { // the first word is the zone's name, "up" too
				i++
				break
			}
			key = ""
		default:
			key = ""
		}
		if !number(i) {
			if z.Wants+quantity.Airflow(z.Floor) > 0 || z.Loss+z.Gain > 0 {
				return z, fail(wrongCall,
					`zone %q: %q is after a number; write "loft 680 ft2 loss 15 kBtu/h"`,
					whole, diag.Visible(words[i]))
			}
			z.Name = strings.TrimPrefix(z.Name+" "+words[i], " ")
			i++
			continue
		}
		end := i + 1 // a number, with its unit in the same word or the next ones
		for end < len(words) && !number(end) && strings.ContainsAny(words[i], "0123456789") &&
			!strings.ContainsAny(words[end-1], "abcdefghijklmnopqrstuvwxyz") {
			end++
		}
		value := strings.Join(words[i:end], " ")
		if key == "" && end == i+1 && z.Name != "" && !strings.ContainsAny(value,
			"abcdefghijklmnopqrstuvwxyz") {
			z.Name += " " + value // "zone 2"
			i = end
			continue
		}
		if err := takeQuantity(&z, key, value, system); err != nil {
			return z, fail(wrongCall, `zone %q: %w; write "loft 680 ft2 loss 15 kBtu/h up 9 ft"`,
				whole, err)
		}
		i = end
	}
	return z, nil
}

// takeQuantity takes one quantity of a zone.
func takeQuantity(z *starter.Zone, key, value string, system quantity.System) error {
	kind := quantity.KindAirflow
	switch key {
	case "loss", "gain":
		kind = quantity.KindHeat
	case "up", "down":
		kind = quantity.KindLength
	default:
		if _, err := quantity.KindArea.Parse(value, system); err == nil {
			kind = quantity.KindArea
		}
	}
	si, err := kind.Parse(value, system)
	if err != nil {
		return err
	}
	switch {
	case key == "loss":
		z.Loss = quantity.Heat(si)
	case key == "gain":
		z.Gain = quantity.Heat(si)
	case key == "up":
		z.Up = quantity.Length(si)
	case key == "down":
		z.Up = -quantity.Length(si)
	case kind == quantity.KindArea:
		z.Floor = quantity.Area(si)
	default:
		z.Wants = quantity.Airflow(si)
	}
	return nil
}
