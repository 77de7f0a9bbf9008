//! Two automatic seats, saturation control and dive control: plan and readings in, orders out.
