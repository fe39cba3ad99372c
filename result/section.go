package result

// Section is what a run on a fine section shows besides the Run: the stand's
// temperatures cell by cell, at chosen moments. Lengths in m, from the axis and
// from the underside of the body; temperatures in K. Solid, liquid and table
// have one temperature each: the section does not divide them. In three
// dimensions it is the plane midway between what stands round the axis.
type Section struct {
	Spacing   float64       `json:"spacing_m"`
	Outer     float64       `json:"outer_radius_m"`
	Height    float64       `json:"height_m"`
	CupRadius float64       `json:"cup_radius_m"`
	Floor     float64       `json:"floor_m"` // height of the cup's floor
	Pegs      float64       `json:"peg_height_m"`
	Cells     []SectionCell `json:"cells"`
	Lower     SectionPlate  `json:"lower_plate"`
	Upper     *SectionPlate `json:"upper_plate,omitempty"`
	Frames    []Frame       `json:"frames"`
	NotShown  []string      `json:"not_shown,omitempty"` // what the section cannot hold, in words
}

// SectionCell is one ring of the stand's section.
type SectionCell struct {
	In       float64 `json:"in_m"`
	Out      float64 `json:"out_m"`
	Low      float64 `json:"low_m"`
	High     float64 `json:"high_m"`
	Outwards float64 `json:"conductivity_outwards"` // W/(m K)
	Upwards  float64 `json:"conductivity_upwards"`
}

// SectionPlate is a plate above the stand.
type SectionPlate struct {
	Radius    float64 `json:"radius_m"`
	Thickness float64 `json:"thickness_m"`
	Above     float64 `json:"above_m"` // its underside over that of the lower plate
	// Rings are the outer radii of the rings that it is divided into.
	Rings []float64 `json:"rings_m,omitempty"`
}

// Frame is the section at one moment.
type Frame struct {
	Time        float64   `json:"time_s"`
	Event       string    `json:"event,omitempty"`
	Temperature []float64 `json:"temperature_K"` // by cell
	LowerPlate  float64   `json:"lower_plate_K"` // mean under the load
	UpperPlate  float64   `json:"upper_plate_K"` // NaN where there is none
	LowerRings  []float64 `json:"lower_rings_K,omitempty"`
	UpperRings  []float64 `json:"upper_rings_K,omitempty"`
	Store       float64   `json:"store_K"` // of the liquid
	Solid       float64   `json:"solid_K"` // NaN without solid
	SolidRadius float64   `json:"solid_radius_m"`
	SolidBottom float64   `json:"solid_bottom_m"` // over the cup's floor
	SolidTop    float64   `json:"solid_top_m"`
	Level       float64   `json:"level_m"` // of the liquid over the cup's floor
	PlateHeight float64   `json:"plate_m"` // underside of the lower plate over the cup's floor
	Room        float64   `json:"room_K"`
	DewPoint    float64   `json:"dew_point_K"`
}
