" Syntax of rule books of ferrule. Made by go generate from the words of the language.
if exists("b:current_syntax")
  finish
endif

syntax match ferruleName ;\v%([a-z][a-z0-9-]*);
syntax match ferruleKeyword ;\v%(%(heel-radius|acceptance|neighbours|toe-radius|allowance|extension|rejection|three-way|allowing|decision|excepted|property|readings|rulebook|between|contact|edition|guarded|lie-set|ordered|require|without|advice|camber|covers|except|exempt|expect|method|second|simple|unless|within|above|along|among|below|chart|every|first|group|least|reach|reads|ruler|until|value|waive|where|case|cite|each|else|from|head|heel|mend|most|only|rule|stop|then|for|let|per|set|toe|top|use|at|by|if|in|is|of|on|to)[a-z0-9-]@!);
syntax match ferruleOperator ;\v%(%(and|not|or)[a-z0-9-]@!|\+/-|±|[\<\>!]\=|[-+*/\=\<\>]);
syntax match ferruleFunction ;\v%(%(shortest|highest|longest|lowest|spread|count|share|total|drop|mean|rise|abs|age|has|max|min)[a-z0-9-]@!);
syntax match ferruleConstant ;\v%(%(right|today|left|yes|no)[a-z0-9-]@!);
syntax match ferruleIdentifier ;\v%(%(grip-diameter|grip-length|swingweight|butt-mass|frequency|tip-mass|balance|inertia|bounce|length|number|volume|hand|kind|loft|mark|mass|lie)[a-z0-9-]@!);
syntax match ferruleType ;\v%(%(chippers|fairways|chipper|drivers|fairway|hybrids|putters|driver|hybrid|putter|wedges|clubs|irons|wedge|club|iron)[a-z0-9-]@!);
syntax match ferruleConstant ;\v^\s*\zs%(%(unmeasured|too-close|exempt|fail|pass)[a-z0-9-]@!);
syntax match ferruleConstant ;\v%(%(: )@<=%(unmeasured|too-close|exempt|fail|pass)[a-z0-9-]@!);
syntax match ferruleKeyword ;\v^\s*\zs%(%(heel-radius|toe-radius|butt-mass|extension|decision|language|tip-mass|contact|edition|lie-set|require|camber|covers|expect|unless|event|order|reach|reads|ruler|until|cite|club|from|heel|mend|stop|for|set|toe|top|on)[a-z0-9-]@!);
syntax match ferruleKeyword ;\v^\s*\zs%(%(else\s+unless|mend\s+%(over|under)|stop\s+along\s+axis|top\s+at\s+%(cap\s+edge|cap\s+end|butt))[a-z0-9-]@!);
syntax match ferruleStatement ;\v^\s*\zs%(%(allowance|property|rulebook|advice|method|chart|group|waive|case|head|rule|let|use)[a-z0-9-]@!);
syntax match ferruleStatement ;\v^\s*\zs%(allowance\s+%(cap|crown)[a-z0-9-]@!);
syntax match ferruleStatement ;\v^\s*\zs%(%(group)[a-z0-9-]@!); nextgroup=ferruleTypeName skipwhite
syntax match ferruleStatement ;\v^\s*\zs%(%(advice|method|waive|rule)[a-z0-9-]@!); nextgroup=ferruleFunctionName skipwhite
syntax match ferruleNumber ;\v%(\d{4}-\d{2}-\d{2}|[A-G]\d+%(\.\d+)?|%(\d+%(\s*[¼-¾⅐-⅞]|-[¼-¾⅐-⅞]|%(\s+|-)\d+/\d+|/\d+|\.\d+)?|[¼-¾⅐-⅞])%("|\s*%(oz in2[A-Za-z0-9-]@!|g cm2[A-Za-z0-9-]@!|grain[A-Za-z0-9-]@!|oz in[A-Za-z0-9-]@!|days[A-Za-z0-9-]@!|g in[A-Za-z0-9-]@!|g/cm[A-Za-z0-9-]@!|g/in[A-Za-z0-9-]@!|cm3[A-Za-z0-9-]@!|cpm[A-Za-z0-9-]@!|day[A-Za-z0-9-]@!|deg[A-Za-z0-9-]@!|in2[A-Za-z0-9-]@!|in3[A-Za-z0-9-]@!|mm2[A-Za-z0-9-]@!|pts[A-Za-z0-9-]@!|Hz[A-Za-z0-9-]@!|cc[A-Za-z0-9-]@!|cm[A-Za-z0-9-]@!|ft[A-Za-z0-9-]@!|in[A-Za-z0-9-]@!|kg[A-Za-z0-9-]@!|lb[A-Za-z0-9-]@!|mm[A-Za-z0-9-]@!|ms[A-Za-z0-9-]@!|oz[A-Za-z0-9-]@!|pt[A-Za-z0-9-]@!|us[A-Za-z0-9-]@!|g[A-Za-z0-9-]@!|m[A-Za-z0-9-]@!|s[A-Za-z0-9-]@!|°|\%))?);
syntax match ferruleString ;\v%("[^"]*%("|$));
syntax match ferruleComment ;\v%(#.*$);
syntax match ferruleFunctionName ;\v[a-z][a-z0-9-]*; contained
syntax match ferruleTypeName ;\v[a-z][a-z0-9-]*; contained

highlight default link ferruleComment Comment
highlight default link ferruleString String
highlight default link ferruleNumber Number
highlight default link ferruleStatement Statement
highlight default link ferruleKeyword Keyword
highlight default link ferruleConstant Constant
highlight default link ferruleType Type
highlight default link ferruleIdentifier Identifier
highlight default link ferruleFunction Function
highlight default link ferruleOperator Operator
highlight default link ferruleFunctionName Function
highlight default link ferruleTypeName Type

let b:current_syntax = "ferrule"
