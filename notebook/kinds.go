package notebook

// Kinds of results, under which commands and page keep alike.
const (
	Calibration      = "calibration"           // what trials taught
	TrialComparison  = "comparison of trials"  // under common conditions
	Bench            = "bench"                 // a load or a stand characterised by itself
	Motion           = "motion in pictures"    // seen by a camera
	Forecast         = "forecast"              // of a running trial, one for each update
	Prediction       = "prediction"            // a band
	DesignComparison = "comparison of designs" // on common draws
	SectionRun       = "section"               // a trial on the fine section, perhaps in three dimensions
	Variation        = "variation"             // run time along an input, or over two
	Search           = "search"                // designs found
	NextTrials       = "next trials"           // ranked
	Report           = "report"                // a document to hand on
)
