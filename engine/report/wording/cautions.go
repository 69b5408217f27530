package wording

// Cautions come below every plan of work on a shaft.
var Cautions = []string{
	"Measure again before you cut: a piece cut off does not come back, and a fine grid does not mean that you can cut to it.",
	"Eyes and lungs: wear eye protection and a mask made for fine dust; cut and sand graphite wet or with extraction, steel away from what sparks can light.",
	"Solvent and epoxy: gloves and fresh air, no flame near; follow what their makers say of cure and disposal.",
	"Heat: pull a head with the shaft held fast and nobody in line with it; a head that is not cured or seated flies off. Let it cool.",
	"A new grip and cap move the length: measure the finished club by the method that its rule asks for.",
	"Local codes and licensed practice come first.",
}
