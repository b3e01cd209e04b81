mod quantity;
