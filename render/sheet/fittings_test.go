package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/catalog"
)

// Every sketch belongs to a word of the list, once, and every group is well-formed XML.
func TestFittingsAreDrawn(t *testing.T) {
	drawn := ""
	for g := catalog.LeavesTrunk; g <= catalog.EndsRun; g++ {
		svg := fittingPictures(catalog.FittingWords(), g)
		decoder := xml.NewDecoder(strings.NewReader(svg))
		for {
			_, err := decoder.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
		}
		drawn += svg
	}
	for name := range fittingSketches {
		assert.Equal(t, 1, strings.Count(drawn, ">"+name+"</text>"), name)
	}
	var b bytes.Buffer
	require.NoError(t, Write(&b, Fittings(catalog.FittingWords()), "html", Style{}))
	assert.Contains(t, b.String(), "<svg")
}
