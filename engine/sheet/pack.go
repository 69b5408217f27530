package sheet

func (p *Parser) unpack(h *head, text string, f flaw) int { return 0 }
