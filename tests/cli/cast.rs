//! The small cast of these tests: one truck that three hands know, and a few others. All of it is invented.

/// The truck. The brake signal contradicts by tow package; the two holes are one in two units and agree; the two
/// grounds are two; the times have a spread.
pub const TARN: &str = "\
make,model,years,only,point,colour,at,connector,cavity,signal,hole,grommet,stud,job,minutes,basis,by,on,seen,remark
Quillon,Tarn,2015-2019,tow=yes,brake-signal,violet/white,stop lamp switch,C210,2,positive,,,,,,metered,R. Okafor,2024-03-11,2016; cab=crew; tow=yes,0 V pedal up and 12.4 V pedal down
Quillon,Tarn,2016,,brake-signal,VT/WH,brake switch,C210,2,,,,,,,fitted,M. Haugli,2024-04-02,2016; cab=crew; tow=yes,
Quillon,Tarn,2015-2019,,brake-signal,green,stop lamp switch,,,positive,,,,,,metered,S. Lindqvist,2023-05-02,2017; tow=no,
Quillon,Tarn,2015-2019,,firewall-pass,,driver side above the hood release cable,,,,1-3/8 in,none,,,,fitted,R. Okafor,2024-03-11,2016; cab=crew; tow=yes,
Quillon,Tarn,2014-2018,,firewall-pass,,driver side above the hood release cable,,,,35 mm,,,,,inspected,M. Haugli,2024-04-02,2016; cab=crew; tow=yes,
Quillon,Tarn,2015-2019,,ground,,left inner fender,,,,,,M8,,,fitted,R. Okafor,2024-03-11,2016; cab=crew; tow=yes,bare metal
Quillon,Tarn,2015-2019,,ground,,right frame rail,,,,,,M10,,,told,S. Lindqvist,2023-05-02,,
Quillon,Tarn,2015-2019,,labour,,,,,,,,,brake control,90 min,fitted,R. Okafor,2024-03-11,2016; cab=crew; tow=yes,
Quillon,Tarn,2015-2019,,labour,,,,,,,,,brake control,1:30,fitted,M. Haugli,2024-04-02,2016; cab=crew; tow=yes,
Quillon,Tarn,2015-2019,,labour,,,,,,,,,brake control,2 h,fitted,S. Lindqvist,2023-05-02,2017; tow=no,
";

/// Another maker's truck, whose cavity is given to two functions, and whose number teaches its model.
pub const TILLER: &str = "\
make,model,years,point,colour,at,connector,cavity,basis,by,on,seen,remark
Ironquay,Tiller,2018-2021,left-turn,yellow,driver kick panel,C112,7,metered,M. Haugli,2022-02-01,9ZZDX4CX2L9014623,
Ironquay,Tiller,2018-2021,reverse-lamp,pink/black,driver kick panel,C112,7,inspected,R. Okafor,2022-06-20,2019,
";

/// One good row, to be put behind `HEAD`.
pub const ROW: &str = "Quillon,Tarn,2016,ground,left inner fender,M8,fitted,R. Okafor,2024-03-11,2016,\n";

/// The columns of `ROW`.
pub const HEAD: &str = "make,model,years,point,at,stud,basis,by,on,seen,remark\n";

/// A sheet of `HEAD` and these rows.
pub fn sheet(rows: &[&str]) -> String {
    let mut text = HEAD.to_owned();
    for row in rows {
        text.push_str(row.trim_end());
        text.push('\n');
    }
    text
}
