package page

import "spillway/render/palette"

// paletteCSS sets the palette's colours for the whole page: for light, for dark screens, for print in grey.
func paletteCSS() string {
	return ":root{" + palette.Light().CSS() + "}\n" +
		"@media screen and (prefers-color-scheme:dark){:root{" + palette.Dark().CSS() + "color-scheme:dark;}}\n" +
		"@media print{:root{" + palette.Print().CSS() + "}}\n"
}
