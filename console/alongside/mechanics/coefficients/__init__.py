"""Published coefficients of wind and current, each with its source, turned to one convention: angle of attack
0 ahead and 90 from starboard, X ahead +, Y to port +, N bow to port + about midships, referred to Lbp."""
