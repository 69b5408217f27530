# The six rules of six.ferrule: the input is a set, the answer its findings.
package six

found contains {"row": club.row, "rule": "longest-club"} if {
	some club in input.clubs
	club.club != "putter"
	club.length > 48
}

found contains {"row": club.row, "rule": "shortest-club"} if {
	some club in input.clubs
	club.club != "putter"
	club.length < 18
}

found contains {"row": club.row, "rule": "upright-lie"} if {
	some club in input.clubs
	club.lie > 80
}

found contains {"row": club.row, "rule": "putter-loft"} if {
	some club in input.clubs
	club.club == "putter"
	club.loft > 10
}

found contains {"row": club.row, "rule": "heaviest-club"} if {
	some club in input.clubs
	club.mass > 600
}

found contains {"row": input.clubs[0].row, "rule": "clubs-carried"} if {
	count(input.clubs) > 14
}
