// Package columns writes texts that stand at the same place of many cases, for a page's script: printed numbers by their differences, which
// are small and often the same where a damper is moved step by step; other texts by what is distinct among them.
//
// The script's side is web/explain.js of render/page: numberAt and pick.
package columns

import (
	"strconv"
	"strings"
)

// Numbers writes printed numbers as
//
//	[decimals, the first, the second less the first, …]
//
// in units of the last decimal: of the texts with most of them, which are then printed without zeros at their end, or −1 − decimals where
// every text has just so many. [n] among the differences stands for n zeros. ok is false when a text does not come back as it is
// printed.
func Numbers(texts []string) (column string, ok bool) {
	decimals, least := 0, 1<<30
	for _, t := range texts {
		_, after, _ := strings.Cut(t, ".")
		decimals, least = max(decimals, len(after)), min(least, len(after))
	}
	fixed := least == decimals
	trimmed := true
	for _, t := range texts {
		trimmed = trimmed && (!strings.Contains(t, ".") || !strings.HasSuffix(t, "0") && !strings.HasSuffix(t, "."))
	}
	if !trimmed && !fixed || decimals > 12 {
		return "", false
	}
	var b strings.Builder
	b.WriteByte('[')
	if trimmed {
		b.WriteString(strconv.Itoa(decimals))
	} else {
		b.WriteString(strconv.Itoa(-1 - decimals))
	}
	last, still := int64(0), 0
	flush := func() {
		switch {
		case still > 2:
			b.WriteString(",[" + strconv.Itoa(still) + "]")
		default:
			b.WriteString(strings.Repeat(",0", still))
		}
		still = 0
	}
	for i, t := range texts {
		whole, after, point := strings.Cut(t, ".")
		digits := strings.TrimPrefix(whole, "-")
		v, err := strconv.ParseInt(digits+after+strings.Repeat("0", decimals-len(after)), 10, 64)
		switch {
		case err != nil || v > 1<<51 || digits == "" || digits[0] == '+' || digits[0] == '-':
			return "", false
		case digits[0] == '0' && len(digits) > 1 || point && after == "":
			return "", false // "007", "1."
		case len(digits) < len(whole):
			if v == 0 {
				return "", false // "-0"
			}
			v = -v
		}
		if i > 0 && v == last {
			still++
			continue
		}
		flush()
		b.WriteByte(',')
		b.WriteString(strconv.FormatInt(v-last, 10))
		last = v
	}
	flush()
	b.WriteByte(']')
	return b.String(), true
}

// Texts writes values, each as JSON, as one where they agree, else as
//
//	{"v": [the distinct ones], "c": [for each case, which]}
func Texts(values []string) string {
	which := make(map[string]int)
	var distinct []string
	var b strings.Builder
	for i, v := range values {
		at, ok := which[v]
		if !ok {
			at = len(distinct)
			which[v] = at
			distinct = append(distinct, v)
		}
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString(strconv.Itoa(at))
	}
	if len(distinct) == 1 {
		return distinct[0]
	}
	return `{"v":[` + strings.Join(distinct, ",") + `],"c":[` + b.String() + "]}"
}
