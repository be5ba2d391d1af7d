#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| lastdock_fuzz::readers::supplement::read(bytes));
