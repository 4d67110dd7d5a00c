namespace Caseload.Data.Access;

/// <summary>What a person does in the programme; a person may have several.</summary>
public enum Role
{
    /// <summary>Looks after people and settings; sees no clinical content unless another role says so.</summary>
    Administrator,

    /// <summary>Answers for the whole programme's children and for how they are shared.</summary>
    TeamLead,

    /// <summary>Sees and records the children of the own caseload and those covered for a colleague.</summary>
    Clinician,

    /// <summary>Reads the whole programme and changes nothing: a supervisor or an auditor.</summary>
    Observer,
}

/// <summary>Whose children a person reaches.</summary>
public enum Reach
{
    /// <summary>None.</summary>
    None,

    /// <summary>The own caseload, children covered for a colleague, and children opened by a stated reason.</summary>
    Own,

    /// <summary>Every child of the programme.</summary>
    Programme,
}
