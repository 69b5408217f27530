# The six rules of six.ferrule for awk: a sheet of decimals without quotes, the rows of
# a set together. Findings go to standard output, FILE:ROW: fail RULE.
BEGIN { FS = "," }
FNR == 1 { next }
$1 != set { carried(); set = $1; first = FNR; count = 0 }
{
	count++
	if ($3 != "putter" && $4 > 48) fail(FNR, "longest-club")
	if ($3 != "putter" && $4 < 18) fail(FNR, "shortest-club")
	if ($6 > 80) fail(FNR, "upright-lie")
	if ($3 == "putter" && $7 > 10) fail(FNR, "putter-loft")
	if ($8 > 600) fail(FNR, "heaviest-club")
}
END { carried() }
function carried() { if (count > 14) fail(first, "clubs-carried") }
function fail(row, rule) { print FILENAME ":" row ": fail " rule }
